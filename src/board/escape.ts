/**
 * How texts stand in console lines: one line, one value, nothing that moves a terminal's cursor. A backslash and every
 * control character (U+0000 to U+001F, U+007F to U+009F, U+2028, U+2029) are written as escapes; a word (a text that must
 * hold no blank) escapes blanks too, and an empty word is `-`.
 */
export function escapeText(text: string): string {
  return text.replace(/[\p{Cc}\u2028\u2029\\]/gu, (character) => {
    const code = character.charCodeAt(0);
    return shortEscapes.get(character) ?? (code > 0xff ? `\\u${hex(code, 4)}` : `\\x${hex(code, 2)}`);
  });
}

/** @returns `undefined` when a backslash begins no escape */
export function unescapeText(text: string): string | undefined {
  const piece = /[^\\]+|\\(?:x([0-9a-fA-F]{2})|u([0-9a-fA-F]{4})|([\\nrt]))/y;
  let plain = '';
  while (piece.lastIndex < text.length) {
    const [whole, two, four, letter] = piece.exec(text) ?? [];
    if (whole === undefined) return undefined;
    const digits = two ?? four;
    if (digits !== undefined) plain += String.fromCharCode(Number.parseInt(digits, 16));
    else plain += letter === undefined ? whole : (longEscapes.get(letter) ?? '');
  }
  return plain;
}

export function escapeWord(text: string): string {
  if (text === '') return '-';
  return text === '-' ? '\\x2d' : escapeText(text).replace(/\s/g, (blank) => escapeBlank(blank.charCodeAt(0)));
}

/** @returns `undefined` when a backslash begins no escape */
export function unescapeWord(word: string): string | undefined {
  return word === '-' ? '' : unescapeText(word);
}

const shortEscapes = new Map([
  ['\\', '\\\\'],
  ['\n', '\\n'],
  ['\r', '\\r'],
  ['\t', '\\t'],
]);

const longEscapes = new Map([...shortEscapes].map(([character, escape]) => [escape.slice(1), character]));

function escapeBlank(code: number): string {
  return code > 0xff ? `\\u${hex(code, 4)}` : `\\x${hex(code, 2)}`;
}

function hex(code: number, digits: number): string {
  return code.toString(16).padStart(digits, '0');
}
