/**
 * Is this Node new enough? The answer stands in package.json under `engines.node`, as a list of
 * `>=A.B.C` and `^A.B.C` joined by `||`; no package can be asked, since none is installed yet.
 */
import { SetUpProblem } from './problem.mjs';
import { readJson } from './root.mjs';

const toNumbers = (version) => version.split('.').map(Number);

/** @returns {boolean} whether version `have` is at or after `want`, both as [major, minor, patch]. */
function isAtLeast(have, want) {
  const differing = want.findIndex((number, place) => number !== have[place]);
  return differing === -1 || have[differing] > want[differing];
}

/**
 * @param {string} version '20.19.0'
 * @param {string} range '^20.19.0 || >=22.12.0'
 */
export function isInRange(version, range) {
  const have = toNumbers(version);
  return range.split('||').some((text) => {
    const [, sign, wanted] = /^\s*(\^|>=)(\d+\.\d+\.\d+)\s*$/.exec(text) ?? [];
    if (wanted === undefined) throw new Error(`engines.node: cannot read '${text}'`);
    const want = toNumbers(wanted);
    return isAtLeast(have, want) && (sign === '>=' || have[0] === want[0]);
  });
}

export function checkNodeVersion(version = process.versions.node) {
  const range = readJson('package.json').engines.node;
  if (isInRange(version, range)) return;
  throw new SetUpProblem(
    `this is Node ${version}, and Handspan needs ${range}: install a current Node and run the same command again.`,
  );
}
