/** A process that writes a large file over and over, to be killed while it does: `FILE`. */
import { userFolders } from '../../src/io/files/folders.ts';
import { prepareOutputFile } from '../../src/io/files/output-file.ts';
import { tendPartials } from '../../src/io/files/partial-files.ts';

const [file = ''] = process.argv.slice(2);
tendPartials(userFolders(process.env));
const bytes = Buffer.alloc(30_000_000);
for (;;) {
  const output = prepareOutputFile(file, { what: 'score', example: 'a.xml', isOverwriting: true });
  if (!output.ok) throw new Error(output.problem);
  output.value.save(bytes);
}
