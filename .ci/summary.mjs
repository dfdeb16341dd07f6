/**
 * Adds up the counts of all stages and prints them as the last line: 'N passed, N failed'.
 * A stage that failed without a failed test (the linter, the build, the rig) counts as one.
 *
 *   node .ci/summary.mjs FOLDER
 *
 * FOLDER holds for each stage STAGE.log, its output, and STAGE.code, its exit code; a stage of
 * Vitest also STAGE.json, the JSON reporter's file.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const folder = process.argv[2] ?? '.';
const read = (name) => readFileSync(join(folder, name), 'utf8');

/** Node's test runner closes with lines such as 'ℹ pass 17'. */
function nodeCount(log, name) {
  const counts = [...log.matchAll(new RegExp(`^ℹ ${name} (\\d+)$`, 'gm'))];
  return counts.reduce((sum, [, count]) => sum + Number(count), 0);
}

function countsOf(stage) {
  if (existsSync(join(folder, `${stage}.json`))) {
    const { numPassedTests, numTotalTests, numPendingTests, numTodoTests } = JSON.parse(
      read(`${stage}.json`),
    );
    const failed = numTotalTests - numPassedTests - numPendingTests - numTodoTests;
    return { passed: numPassedTests, failed };
  }
  const log = read(`${stage}.log`);
  return {
    passed: nodeCount(log, 'pass'),
    failed: nodeCount(log, 'fail') + nodeCount(log, 'cancelled'),
  };
}

let passed = 0;
let failed = 0;
for (const file of readdirSync(folder).filter((name) => name.endsWith('.code'))) {
  const stage = file.replace(/\.code$/, '');
  const code = Number(read(file));
  const counts = countsOf(stage);
  passed += counts.passed;
  // A stage that repeated what its emulator had broken ends well, with failures in its output.
  failed += code !== 0 ? Math.max(1, counts.failed) : 0;
}
process.stdout.write(`${passed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 || passed === 0 ? 1 : 0;
