/** A piece of a text: UTF-16 offsets, `end` exclusive. */
export type SourceRange = { readonly start: number; readonly end: number };

/** A place for people: both count from 1; columns count UTF-16 units, as editors do. */
export type Position = { readonly line: number; readonly column: number };

/** Turns offsets of one text into lines and columns. Only renderers need it: inside, places are offsets. */
export type LineIndex = {
  position(offset: number): Position;
  /** The text of line `line` (from 1) without its line end. */
  lineText(line: number): string;
  readonly lineCount: number;
};

export const nowhere: SourceRange = { start: 0, end: 0 };

/** Lines end at LF, CR LF or CR. */
export function lineIndex(text: string): LineIndex {
  const starts = [0];
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit === 10 || (unit === 13 && text.charCodeAt(i + 1) !== 10)) starts.push(i + 1);
  }
  const startOf = (line: number): number => starts[line - 1] ?? text.length;
  const lineAt = (offset: number): number => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((starts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    return low + 1;
  };
  return {
    lineCount: starts.length,
    position(offset) {
      const within = Math.max(0, Math.min(offset, text.length));
      const line = lineAt(within);
      return { line, column: within - startOf(line) + 1 };
    },
    lineText(line) {
      return text.slice(startOf(line), startOf(line + 1)).replace(/[\r\n]+$/, '');
    },
  };
}
