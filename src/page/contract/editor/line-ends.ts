import type { SourceRange } from '../../../base/text-range.ts';

/** How a text ends its lines. */
export type LineEnd = '\n' | '\r\n';

/** The ends of a text that has only CR LF; else LF, also for a text that mixes them. */
export function lineEndOf(text: string): LineEnd {
  return /^(?:[^\r\n]|\r\n)*$/.test(text) && text.includes('\n') ? '\r\n' : '\n';
}

/** The text as editors hold it, with LF alone. */
export function withLf(text: string): string {
  return text.replace(/\r\n?/g, '\n');
}

/** The text as its file has it. */
export function withLineEnd(text: string, end: LineEnd): string {
  return end === '\n' ? text : text.replaceAll('\n', end);
}

/** A place in `text` as a place in `withLf(text)`. */
export function rangeInLf(text: string, { start, end }: SourceRange): SourceRange {
  if (!text.includes('\r')) return { start, end };
  return { start: withLf(text.slice(0, start)).length, end: withLf(text.slice(0, end)).length };
}

/** A place in `withLf(text)` as a place in `text`. */
export function offsetInFile(text: string, offset: number): number {
  if (!text.includes('\r')) return offset;
  let inFile = 0;
  for (let inLf = 0; inLf < offset; inLf++) inFile += text.startsWith('\r\n', inFile) ? 2 : 1;
  return inFile;
}
