/** Where a take goes on the disk: an output file whose sentences speak of the take. */

import type { Result } from '../../common/result.ts';
import { type OutputFile, prepareOutputFile } from '../files/output-file.ts';

export type TakeFile = OutputFile;

/** Looks at the place and proves that it can be written; leaves nothing there. */
export function prepareTakeFile(
  file: string,
  { isOverwriting }: { isOverwriting: boolean },
): Result<TakeFile> {
  return prepareOutputFile(file, { what: 'take', example: 'take.mid', isOverwriting });
}
