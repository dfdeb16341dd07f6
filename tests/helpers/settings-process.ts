/** A process that adds setlists of its own to the settings, one after another: `FOLDER NAME COUNT`. */
import { loadSettings, type Settings, saveSettings } from '../../src/io/files/settings.ts';

const [folder = '', name = '', count = ''] = process.argv.slice(2);
// As a stage that has been open for long: what others wrote since is not known here.
let known: Settings = (await loadSettings(folder)).settings;
for (let number = 1; number <= Number(count); number += 1) {
  const setlists = { ...known.setlists, [`${name} ${number}`]: ['close-sixths'] };
  const next = {
    ...known,
    setlists,
    favourites: [...(known.favourites ?? []), `${name}${number}`],
  };
  const problem = saveSettings(folder, next, known);
  if (problem !== '') throw new Error(problem);
  known = next;
}
