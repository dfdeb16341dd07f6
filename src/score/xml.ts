/** XML as text: elements with attributes, everything from outside escaped. */

export type Xml = {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly (Xml | string)[];
};

export function element(
  name: string,
  attributes: Readonly<Record<string, string>> = {},
  ...children: readonly (Xml | string)[]
): Xml {
  return { name, attributes, children };
}

/** Characters that XML 1.0 has no place for (section 2.2, "Char"), and other control characters. */
const forbidden = /[^\P{Cc}\t\n\r]|\p{Cs}|[\uFFFE\uFFFF]/gu;

export function escapeXml(text: string): string {
  return text
    .replace(forbidden, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** One element a line; text stands inside its element's line. */
export function formatXml(xml: Xml, indent = ''): string {
  const { name, children } = xml;
  const attributes = Object.entries(xml.attributes)
    .map(([key, value]) => ` ${key}="${escapeXml(value)}"`)
    .join('');
  if (children.length === 0) return `${indent}<${name}${attributes}/>\n`;
  if (children.every((child) => typeof child === 'string')) {
    return `${indent}<${name}${attributes}>${escapeXml(children.join(''))}</${name}>\n`;
  }
  const inner = children.map((child) =>
    typeof child === 'string' ? escapeXml(child) : formatXml(child, `${indent} `),
  );
  return `${indent}<${name}${attributes}>\n${inner.join('')}${indent}</${name}>\n`;
}
