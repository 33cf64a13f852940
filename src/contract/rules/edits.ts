import type { Fix, TextEdit } from '../../base/finding.ts';
import type { Where } from '../model.ts';

/** Fixes as text edits that keep to the layout the author chose. */

/** Replaces the value of a key that the contract gives; `undefined` when it does not give it. */
export function replaceValue(where: Where, key: string, value: string, title: string): Fix | undefined {
  const place = where.keys.get(key);
  return place === undefined ? undefined : { title, edits: [{ at: place.value, text: value }] };
}

/** Gives `key` the value `value`, in place of the old one or as a new line (or item of a flow mapping). */
export function setKey(text: string, where: Where, key: string, value: string, title: string): Fix | undefined {
  if (where.keys.has(key)) return replaceValue(where, key, value, title);
  const edit = newKey(text, where, `${key}: ${value}`);
  return edit === undefined ? undefined : { title, edits: [edit] };
}

/** Sets several keys at once; `undefined` when there are none, or one cannot be set. */
export function setKeys(
  text: string,
  where: Where,
  values: Readonly<Record<string, string>>,
  title: string,
): Fix | undefined {
  const edits = Object.entries(values).map(([key, value]) => setKey(text, where, key, value, title)?.edits);
  if (edits.length === 0 || edits.includes(undefined)) return undefined;
  return { title, edits: edits.flatMap((each) => each ?? []) };
}

/** Removes a key with its value, and the line or the comma it leaves behind. */
export function removeKey(text: string, where: Where, key: string, title: string): Fix | undefined {
  const place = where.keys.get(key);
  if (place === undefined) return undefined;
  let start = place.key.start;
  let end = trimEnd(text, place.value.end);
  if (isFlow(text, where)) {
    const after = /^\s*,\s*/.exec(text.slice(end, end + 200));
    const before = /,\s*$/.exec(text.slice(Math.max(0, start - 200), start));
    if (after !== null) end += after[0].length;
    else if (before !== null) start -= before[0].length;
  } else {
    const line = lineStart(text, start);
    // The first key of a list's item shares its line with the hyphen, which must stay.
    if (text.slice(line, start).trim() !== '') return undefined;
    start = line;
    end = Math.min(text.length, lineEnd(text, end) + 1);
  }
  return { title, edits: [{ at: { start, end }, text: '' }] };
}

function newKey(text: string, where: Where, line: string): TextEdit | undefined {
  const places = [...where.keys.values()];
  const first = places[0];
  if (first === undefined) return undefined;
  const start = Math.min(...places.map((place) => place.key.start));
  const end = trimEnd(text, Math.max(...places.map((place) => place.value.end)));
  if (isFlow(text, where)) return { at: { start: end, end }, text: `, ${line}` };
  const at = lineEnd(text, end);
  return { at: { start: at, end: at }, text: `\n${' '.repeat(start - lineStart(text, start))}${line}` };
}

/** True when the entity is written between braces. */
function isFlow(text: string, where: Where): boolean {
  const starts = [...where.keys.values()].map((place) => place.key.start);
  const before = text.slice(0, Math.min(...starts));
  return /\{\s*$/.test(before.slice(-200));
}

/** Ranges of block collections may reach over the line end that closes them. */
function trimEnd(text: string, end: number): number {
  let at = end;
  while (at > 0 && /\s/.test(text[at - 1] ?? '')) at -= 1;
  return at;
}

function lineStart(text: string, at: number): number {
  return text.lastIndexOf('\n', at - 1) + 1;
}

function lineEnd(text: string, at: number): number {
  const end = text.indexOf('\n', at);
  return end === -1 ? text.length : end;
}
