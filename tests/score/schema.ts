/** MusicXML against the W3C's own schema. */
import { validateXML } from 'xmllint-wasm';
import { referenceText } from '../harmony/reference.ts';

export const schemaFolder = 'musicxml-4.0';

/** What the W3C's own schema says against a file; empty when it has nothing to say. */
export async function complaints(...contents: readonly string[]): Promise<readonly string[]> {
  const file = (name: string) => ({
    fileName: name,
    contents: referenceText(`${schemaFolder}/${name}`),
  });
  const result = await validateXML({
    xml: contents.map((text, place) => ({ fileName: `${place}.xml`, contents: text })),
    schema: [file('musicxml.xsd')],
    preload: [file('xlink.xsd'), file('xml.xsd')],
    initialMemoryPages: 512,
    maxMemoryPages: 4096,
  });
  return result.errors.map(({ rawMessage }) => rawMessage);
}
