/** An element as it was read; text is unescaped. */
export type XmlElement = {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly XmlElement[];
  readonly text: string;
};

const entities: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };
/** XML 1.0 section 2.2: the characters a document may hold. */
const character = /^[\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]*$/u;

/**
 * Reads a document strictly, as far as reports need it: declaration, elements, quoted attributes, text with the five
 * entities. Written from XML 1.0 (fifth edition) sections 2.2 to 3.1 for the tests.
 *
 * @throws Error where the document is not well-formed
 */
export function readXml(document: string): XmlElement {
  if (!character.test(document)) throw new Error('a character that XML cannot hold');
  let at = 0;
  const fail = (why: string): never => {
    throw new Error(`${why} at ${at}: ${document.slice(at, at + 40)}`);
  };
  const take = (pattern: RegExp): RegExpExecArray | undefined => {
    pattern.lastIndex = at;
    const match = pattern.exec(document);
    if (match === null) return undefined;
    at += match[0].length;
    return match;
  };
  const unescape = (text: string): string => {
    if (/&(?!(?:amp|lt|gt|quot|apos);)/.test(text)) fail('an ampersand that begins no entity');
    return text.replace(/&(amp|lt|gt|quot|apos);/g, (_, name: string) => entities[name] ?? '');
  };
  const element = (): XmlElement => {
    const name = take(/<([A-Za-z_][\w.-]*)/y)?.[1] ?? fail('no element');
    const attributes = new Map<string, string>();
    for (
      let match = take(/\s+([A-Za-z_][\w.-]*)="([^"<]*)"/y);
      match;
      match = take(/\s+([A-Za-z_][\w.-]*)="([^"<]*)"/y)
    ) {
      const [, key = '', value = ''] = match;
      if (attributes.has(key)) fail(`attribute ${key} twice`);
      attributes.set(key, unescape(value));
    }
    if (take(/\s*\/>/y)) return { name, attributes, children: [], text: '' };
    if (!take(/\s*>/y)) fail(`the tag ${name} does not end`);
    const children: XmlElement[] = [];
    let text = '';
    for (;;) {
      const raw = take(/[^<]+/y)?.[0] ?? '';
      if (raw.includes(']]>')) fail('the end of a section that did not begin');
      text += unescape(raw);
      const end = take(/<\/([A-Za-z_][\w.-]*)\s*>/y);
      if (end) {
        if (end[1] !== name) fail(`${end[1] ?? ''} ends where ${name} should`);
        return { name, attributes, children, text };
      }
      children.push(element());
    }
  };
  if (!take(/<\?xml version="1\.0" encoding="UTF-8"\?>\s*/y)) fail('no declaration');
  const root = element();
  take(/\s*/y);
  if (at !== document.length) fail('something behind the root');
  return root;
}

/** All elements of one name, in order. */
export function elementsOf(root: XmlElement, name: string): readonly XmlElement[] {
  return [...(root.name === name ? [root] : []), ...root.children.flatMap((child) => elementsOf(child, name))];
}
