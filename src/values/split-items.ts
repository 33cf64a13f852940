/** The grammar of lists that a person types; `parse.ts` says what the items mean. */

/** The items, or what keeps the text from being a list. */
export type Items =
  { readonly ok: true; readonly items: readonly string[] } | { readonly ok: false; readonly why: string };

const closing: Readonly<Record<string, string>> = { '(': ')', '[': ']' };

/**
 * Splits at commas that stand in no brackets and no quotes; items come without blanks around them. A text of blanks has
 * no items. Linear in the text's length.
 */
export function splitItems(text: string): Items {
  if (text.trim() === '') return { ok: true, items: [] };
  const items: string[] = [];
  let start = 0;
  for (let i = 0; i < text.length; i++) {
    const character = text.charAt(i);
    if (character === ',') {
      items.push(text.slice(start, i).trim());
      start = i + 1;
      continue;
    }
    if (character === ')' || character === ']') return { ok: false, why: `\`${character}\` closes nothing` };
    if (character !== '"' && closing[character] === undefined) continue;
    const end = endOf(text, i);
    if (end === undefined) return { ok: false, why: `\`${character}\` is not closed` };
    i = end - 1;
  }
  items.push(text.slice(start).trim());
  return { ok: true, items };
}

/**
 * Takes the outer bracket off: `[1, 2] V` gives `1, 2` and `V`. `undefined` when the text does not start with it or it
 * is not closed.
 */
export function unwrap(
  text: string,
  bracket: '(' | '[',
): { readonly inner: string; readonly rest: string } | undefined {
  if (!text.startsWith(bracket)) return undefined;
  const end = endOf(text, 0);
  return end === undefined ? undefined : { inner: text.slice(1, end - 1), rest: text.slice(end).trim() };
}

/**
 * The text of an item in quotes, which is a JSON string (RFC 8259 section 7); an item without quotes as it is.
 *
 * @returns `undefined` when what begins with a quote is no JSON string
 */
export function unquote(item: string): string | undefined {
  if (!item.startsWith('"')) return item;
  try {
    const value: unknown = JSON.parse(item);
    return typeof value === 'string' ? value : undefined;
  } catch {
    return undefined;
  }
}

/** Just behind the end of the quoted or bracketed piece that starts at `start`; `undefined` when it does not end. */
function endOf(text: string, start: number): number | undefined {
  const open: string[] = [];
  for (let i = start; i < text.length; i++) {
    const character = text.charAt(i);
    const close = closing[character];
    if (character === '"') {
      const end = endOfQuote(text, i);
      if (end === undefined) return undefined;
      i = end - 1;
    } else if (close !== undefined) open.push(close);
    else if (character === ')' || character === ']') {
      if (open.pop() !== character) return undefined;
    }
    if (open.length === 0) return i + 1;
  }
  return undefined;
}

function endOfQuote(text: string, start: number): number | undefined {
  for (let i = start + 1; i < text.length; i++) {
    const character = text.charAt(i);
    if (character === '\\') i += 1;
    else if (character === '"') return i + 1;
  }
  return undefined;
}
