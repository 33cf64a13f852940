import { findingKind, type FindingDoc } from '../../base/finding.ts';

/** Findings about the file and its YAML, before any word of the contract is understood. */

/** Of a finding whose words never change. */
type NoArgs = Readonly<Record<string, never>>;

const language = 'contract language';
const yaml = 'YAML 1.2.2';

const small = 'contract: 1\nboard: { name: Tank }\n';

export const fileTooLarge = findingKind<{ octets: number }>({
  code: 'file-too-large',
  severity: 'error',
  title: 'File too large',
  why: 'A contract of several hundred characteristics is some 100 KiB. A larger file is something else, or was made to slow the program down.',
  source: language,
  bad: `${small}# … and more than 1 MiB behind it\n`,
  good: small,
  message: ({ octets }) => `file is ${octets} octets, but a contract may be at most 1048576 (1 MiB)`,
  hint: () => 'check that this is the contract file, and split what is really so large into several boards',
});

export const notUtf8 = findingKind<{ octet: number; offset: number; why: string }>({
  code: 'not-utf8',
  severity: 'error',
  title: 'Not UTF-8',
  why: 'Text in another encoding would put other characters on the air than the editor shows.',
  source: 'RFC 3629',
  // U+FFFD stands for an octet that is no text, as an editor shows it.
  bad: 'contract: 1\nboard: { name: Caf\ufffd }\n',
  good: 'contract: 1\nboard: { name: Café }\n',
  message: ({ octet, offset, why }) => `octet 0x${hex2(octet)} at offset ${offset} is not UTF-8: ${why}`,
  hint: () => 'save the file as UTF-8 in your editor',
});

export const controlCharacter = findingKind<{ unit: number; count: number }>({
  code: 'control-character',
  severity: 'error',
  title: 'Control character',
  why: 'Control characters do not show in an editor but would go into names and texts on the air.',
  source: `${yaml} section 5.1`,
  bad: 'contract: 1\nboard: { name: Ta\u0000nk }\n',
  good: small,
  message: ({ unit, count }) =>
    `${characterName(unit)} stands in the text, but only line ends and tabs may` +
    (count > 1 ? ` (${count} such characters in all)` : ''),
  hint: () => 'delete the character, or write it in double quotes as an escape such as `\\x07`',
});

export const oddBlank = findingKind<{ unit: number }>({
  code: 'odd-blank',
  severity: 'error',
  title: 'Blank that is no space',
  why: 'Text copied from a web page or a PDF brings no-break and zero-width spaces along. They look like spaces, but keys and words that hold them are other words.',
  source: `${yaml} section 6.1`,
  bad: 'contract: 1\nboard: { name: Wave\u00a0tank }\n',
  good: 'contract: 1\nboard: { name: Wave tank }\n',
  message: ({ unit }) =>
    `${characterName(unit)} stands outside quotes, where only an ordinary space or nothing can be meant`,
  hint: () => 'replace it by an ordinary space, or put the text in quotes if it is meant',
});

export const nestedTooDeep = findingKind<{ limit: number }>({
  code: 'nested-too-deep',
  severity: 'error',
  title: 'Nested too deep',
  why: 'No contract needs more than a few levels; thousands of them are an attack on the reader.',
  source: language,
  bad: `${small}waive: ${'['.repeat(70)}${']'.repeat(70)}\n`,
  good: small,
  message: ({ limit }) => `lists and mappings are nested more than ${limit} levels deep`,
  hint: () => 'take out the brackets or the indentation from here on',
});

export const tooManyWords = findingKind<{ limit: number; what: string }>({
  code: 'too-many-words',
  severity: 'error',
  title: 'Too many words',
  why: 'Checking must end quickly and in little memory whatever the file holds; a contract of 500 characteristics has some 20 000 words and marks.',
  source: language,
  bad: `${small}waive: [ … and 60 000 entries more ]\n`,
  good: small,
  message: ({ limit, what }) => `file holds more than ${limit} ${what}`,
  hint: () => 'check that this is the contract file, and split what is really so large into several boards',
});

export const anchorOrAlias = findingKind<{ word: string }>({
  code: 'anchor-or-alias',
  severity: 'error',
  title: 'Anchor or alias',
  why: 'A contract says what it means where it means it, so that it can be read aloud; references to other places are not part of the language.',
  source: language,
  bad: 'contract: 1\nboard: { name: &name Tank, unit: *name }\n',
  good: 'contract: 1\nboard: { name: Tank, unit: Tank }\n',
  message: ({ word }) =>
    word.startsWith('*')
      ? `alias \`${word}\` refers to another place, but a contract holds no references`
      : `anchor \`${word}\` marks a place for references, but a contract holds none`,
  hint: ({ word }) =>
    word.startsWith('*')
      ? `write out what \`${word}\` stands for, or put a text that begins with \`*\` in quotes`
      : `delete \`${word}\`, or put a text that begins with \`&\` in quotes`,
});

export const tag = findingKind<{ word: string }>({
  code: 'tag',
  severity: 'error',
  title: 'Tag',
  why: 'The place in a contract says what a value is; tags are not part of the language.',
  source: language,
  bad: 'contract: !!int 1\nboard: { name: Tank }\n',
  good: small,
  message: ({ word }) => `tag \`${word}\` sets a type, but a contract holds no tags`,
  hint: ({ word }) => `delete \`${word}\`, or put a text that begins with \`!\` in quotes`,
});

export const mergeKey = findingKind<NoArgs>({
  code: 'merge-key',
  severity: 'error',
  title: 'Merge key',
  why: 'A contract says what it means where it means it; merging other mappings in is not part of the language.',
  source: language,
  bad: 'contract: 1\nboard: { name: Tank, <<: { unit: "01" } }\n',
  good: 'contract: 1\nboard: { name: Tank, unit: "01" }\n',
  message: () => '`<<` merges another mapping in, but a contract holds no merge keys',
  hint: () => 'write the keys out here',
});

export const directive = findingKind<{ line: string }>({
  code: 'directive',
  severity: 'error',
  title: 'Directive',
  why: 'A contract is always YAML 1.2; directives are not part of the language.',
  source: language,
  bad: `%YAML 1.2\n---\n${small}`,
  good: `---\n${small}`,
  message: ({ line }) => `line \`${line}\` is a directive, but a contract holds none`,
  hint: () => 'delete the line',
});

export const secondDocument = findingKind<NoArgs>({
  code: 'second-document',
  severity: 'error',
  title: 'Second document',
  why: 'One file holds one contract; what stands behind a `---` line would silently not count.',
  source: language,
  bad: `${small}---\n${small}`,
  good: small,
  message: () => 'a second document begins here, but a file holds one contract',
  hint: () => 'move what follows into a file of its own, or delete this line',
});

export const emptyFile = findingKind<NoArgs>({
  code: 'empty-file',
  severity: 'error',
  title: 'Empty file',
  why: 'A contract names at least its version and its board.',
  source: language,
  bad: '# nothing yet\n',
  good: small,
  message: () => 'file holds no contract',
  hint: () => 'begin with `contract: 1` and `board: { name: NAME }`',
});

export const duplicateKey = findingKind<{ key: string; begins: boolean }>({
  code: 'duplicate-key',
  severity: 'error',
  title: 'Key given twice',
  why: 'Only one of two values can count, and readers differ on which.',
  source: `${yaml} section 3.2.1.1`,
  bad: 'contract: 1\nboard: { name: Tank, name: Pool }\n',
  good: small,
  message: ({ key }) => `\`${key}\` is given twice in one mapping`,
  hint: ({ key, begins }) =>
    begins
      ? `write \`- \` before this \`${key}\` if a new entry of the list begins here, else delete one of the two`
      : `keep one \`${key}\` and delete the other`,
});

export const keyNotWord = findingKind<{ found: string }>({
  code: 'key-not-a-word',
  severity: 'error',
  title: 'Key is no word',
  why: 'Keys of a contract are words or numbers; a list, a mapping or nothing at all cannot be looked up.',
  source: language,
  bad: 'contract: 1\nboard: { name: Tank, : x }\n',
  good: small,
  message: ({ found }) => `key is ${found}, but a word or a number is wanted before the colon`,
  hint: () => 'write a word before the colon, or delete the entry',
});

export const badEscape = findingKind<{ escape: string }>({
  code: 'bad-escape',
  severity: 'error',
  title: 'Unknown escape',
  why: 'In double quotes a backslash begins an escape; an unknown one has no meaning.',
  source: `${yaml} section 5.7`,
  bad: 'contract: 1\nboard: { name: "Tank \\q" }\n',
  good: "contract: 1\nboard: { name: 'Tank \\q' }\n",
  message: ({ escape }) => `\`${escape}\` is no escape that YAML knows`,
  hint: () => 'double the backslash, or use single quotes, where a backslash is an ordinary character',
});

export const unevenIndentation = findingKind<NoArgs>({
  code: 'uneven-indentation',
  severity: 'error',
  title: 'Uneven indentation',
  why: 'Indentation alone says what belongs to what; a line between two levels belongs nowhere.',
  source: `${yaml} section 6.1`,
  bad: 'contract: 1\nboard:\n  name: Tank\n   unit: "01"\n',
  good: 'contract: 1\nboard:\n  name: Tank\n  unit: "01"\n',
  message: () => 'indentation fits no level above this line',
  hint: () => 'indent the line exactly as far as the other entries of its list or mapping',
});

export const tabIndentation = findingKind<NoArgs>({
  code: 'tab-indentation',
  severity: 'error',
  title: 'Tab in indentation',
  why: 'Editors show tabs in different widths, so YAML indents with spaces only.',
  source: `${yaml} section 6.1`,
  bad: 'contract: 1\nboard:\n\tname: Tank\n',
  good: 'contract: 1\nboard:\n  name: Tank\n',
  message: () => 'line is indented with a tab, but only spaces count',
  hint: () => 'replace each tab by two spaces',
});

export const reservedCharacter = findingKind<{ character: string }>({
  code: 'reserved-character',
  severity: 'error',
  title: 'Reserved first character',
  why: 'YAML gives some characters a meaning at the start of a value.',
  source: `${yaml} section 5.3`,
  bad: 'contract: 1\nboard:\n  name: @home\n',
  good: 'contract: 1\nboard:\n  name: "@home"\n',
  message: ({ character }) => `value begins with \`${character}\`, which YAML reserves`,
  hint: () => 'put the value in quotes',
});

export const colonInValue = findingKind<NoArgs>({
  code: 'colon-in-value',
  severity: 'error',
  title: 'Second colon on a line',
  why: 'A colon and a blank begin a value; a second pair on the same line makes it unclear which key is meant.',
  source: `${yaml} section 8.2.2`,
  bad: 'contract: 1\nboard:\n  name: Tank: one\n',
  good: 'contract: 1\nboard:\n  name: "Tank: one"\n',
  message: () => 'line holds two keys one behind the other',
  hint: () => 'put a text that holds a colon in quotes, or begin the second key on a line of its own',
});

export const blockInBrackets = findingKind<NoArgs>({
  code: 'block-in-brackets',
  severity: 'error',
  title: 'Indented block inside brackets',
  why: 'Inside `{ }` and `[ ]` entries are separated by commas, not by lines and hyphens.',
  source: `${yaml} section 7.4`,
  bad: 'contract: 1\nboard: { name: Tank }\nwaive: [\n  - finding: x\n]\n',
  good: small,
  message: () => 'entries by line or hyphen stand inside brackets',
  hint: () => 'separate the entries by commas, or take the brackets away',
});

export const keyOverLines = findingKind<NoArgs>({
  code: 'key-over-lines',
  severity: 'error',
  title: 'Key over several lines',
  why: 'A key and its colon stand on one line; usually a colon is missing on the line before.',
  source: `${yaml} section 8.2.2`,
  bad: 'contract: 1\nboard\n  name: Tank\n',
  good: 'contract: 1\nboard:\n  name: Tank\n',
  message: () => 'text before the colon runs over more than one line or 1024 characters',
  hint: () => 'check that each line before this one has its colon, a blank behind the colon, and its closing quote',
});

export const missingCharacter = findingKind<{ what: string; remedy: string }>({
  code: 'missing-character',
  severity: 'error',
  title: 'Character missing',
  why: 'Brackets and quotes are closed, entries in brackets are separated by commas, and a blank follows a colon; without them YAML reads something else.',
  source: `${yaml} sections 7.3 and 7.4`,
  bad: 'contract: 1\nboard: { name: Tank\n',
  good: small,
  message: ({ what }) => `${what} is missing here`,
  hint: ({ remedy }) => remedy,
});

export const unexpectedText = findingKind<{ text: string; remedy: string }>({
  code: 'unexpected-text',
  severity: 'error',
  title: 'Text that fits nowhere',
  why: 'YAML allows nothing to stand at this place, so what was meant cannot be known.',
  source: yaml,
  bad: 'contract: 1\nboard: { name: "Tank" one }\n',
  good: 'contract: 1\nboard: { name: "Tank one" }\n',
  message: ({ text }) => (text === '' ? 'something fits nowhere here' : `\`${text}\` fits nowhere here`),
  hint: ({ remedy }) => remedy,
});

export const tooManyFindings = findingKind<{ shown: number }>({
  code: 'too-many-findings',
  severity: 'error',
  title: 'Too many findings',
  why: 'A file with so many mistakes is likely not a contract, and nobody reads further.',
  source: language,
  bad: `${small}waive: [1, 2, … and 600 numbers more]\n`,
  good: small,
  message: ({ shown }) => `more than ${shown} findings; those from here on are left out`,
  hint: () => 'mend the first ones and check again',
});

export const syntaxFindings: readonly FindingDoc[] = [
  fileTooLarge.doc,
  notUtf8.doc,
  controlCharacter.doc,
  oddBlank.doc,
  nestedTooDeep.doc,
  tooManyWords.doc,
  anchorOrAlias.doc,
  tag.doc,
  mergeKey.doc,
  directive.doc,
  secondDocument.doc,
  emptyFile.doc,
  duplicateKey.doc,
  keyNotWord.doc,
  badEscape.doc,
  unevenIndentation.doc,
  tabIndentation.doc,
  reservedCharacter.doc,
  colonInValue.doc,
  blockInBrackets.doc,
  keyOverLines.doc,
  missingCharacter.doc,
  unexpectedText.doc,
  tooManyFindings.doc,
];

const names: Readonly<Record<number, string>> = {
  0: 'NUL',
  7: 'BEL',
  8: 'backspace',
  0x0d: 'carriage return without line feed',
  0x1b: 'escape',
  0x7f: 'DEL',
  0xa0: 'no-break space',
  0x200b: 'zero-width space',
  0xfeff: 'byte order mark',
};

function characterName(unit: number): string {
  const code = `U+${unit.toString(16).toUpperCase().padStart(4, '0')}`;
  const name = names[unit];
  return name === undefined ? `character ${code}` : `${name} (${code})`;
}

function hex2(octet: number): string {
  return octet.toString(16).padStart(2, '0');
}
