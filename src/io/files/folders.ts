/**
 * Where Handspan keeps things. The environment variable HANDSPAN_HOME puts everything in one folder
 * of the user's choice (tests always set it); without it, the system's own places.
 */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import envPaths from 'env-paths';

export type Folders = {
  /** Holds settings.json. */
  readonly settings: string;
  /** Holds one JSON file per preset of the user's own. May not exist yet. */
  readonly presets: string;
  /** Chord charts sent from the screen. May not exist yet. */
  readonly charts: string;
  /** Stretches of playing sent from the screen. May not exist yet. */
  readonly takes: string;
};

export function userFolders(environment: NodeJS.ProcessEnv): Folders {
  const { HANDSPAN_HOME: home } = environment;
  if (home !== undefined && home !== '') return foldersIn(home, home);
  const paths = envPaths('handspan', { suffix: '' });
  return foldersIn(paths.config, paths.data);
}

function foldersIn(settings: string, data: string): Folders {
  return {
    settings,
    presets: join(data, 'presets'),
    charts: join(data, 'charts'),
    takes: join(data, 'takes'),
  };
}

/**
 * The folder of the package itself: the nearest above this file whose package.json is Handspan's.
 * So it is found from src/io, from a bundle in dist, and from node_modules alike.
 */
export function packageFolder(): string {
  const start = dirname(fileURLToPath(import.meta.url));
  for (let folder = start; ; folder = dirname(folder)) {
    if (isPackageFolder(folder)) return folder;
    if (folder === dirname(folder)) {
      throw new Error(`Handspan's own package.json is nowhere above ${start}; install it again`);
    }
  }
}

function isPackageFolder(folder: string): boolean {
  const file = join(folder, 'package.json');
  if (!existsSync(file)) return false;
  const description: unknown = JSON.parse(readFileSync(file, 'utf8'));
  return (
    typeof description === 'object' &&
    description !== null &&
    'name' in description &&
    description.name === 'handspan'
  );
}
