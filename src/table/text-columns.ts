/** A column of a text table: its heading, and the width beyond which its cells are broken over several lines. */
export type Column = { readonly heading: string; readonly widest: number };

/**
 * Lays out cells in columns, two blanks between them. A column is as wide as its widest cell or its limit; a last one,
 * without limit, takes what is left of `total`. Cells are broken between words, words that are too long anywhere.
 *
 * @returns the lines of the heading and of each row, without blanks at the end
 */
export function textColumns(
  limited: readonly Column[],
  last: string,
  rows: readonly (readonly string[])[],
  total: number,
): { readonly heading: string; readonly rows: readonly (readonly string[])[] } {
  const widths = limited.map(({ heading, widest }, i) => {
    const longest = Math.max(heading.length, ...rows.map((row) => row[i]?.length ?? 0));
    return Math.min(longest, Math.max(widest, heading.length));
  });
  const used = widths.reduce((sum, width) => sum + width + 2, 0);
  widths.push(Math.max(last.length, total - used));
  const line = (cells: readonly string[]): string =>
    widths
      .map((width, i) => (cells[i] ?? '').padEnd(width))
      .join('  ')
      .trimEnd();
  const layOut = (row: readonly string[]): readonly string[] => {
    const broken = widths.map((width, i) => wrap(row[i] ?? '', width));
    const height = Math.max(1, ...broken.map((cell) => cell.length));
    return Array.from({ length: height }, (_, n) => line(broken.map((cell) => cell[n] ?? '')));
  };
  return { heading: line([...limited.map(({ heading }) => heading), last]), rows: rows.map(layOut) };
}

/** The text in lines of at most `width` characters. */
export function wrap(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ').flatMap((each) => pieces(each, width))) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return line === '' ? lines : [...lines, line];
}

/** A word that is too long, broken behind its hyphens where that is enough. */
function pieces(word: string, width: number): readonly string[] {
  if (word.length <= width) return [word];
  const parts: string[] = [];
  for (const part of word.split(/(?<=-)/).flatMap((each) => each.match(new RegExp(`.{1,${width}}`, 'gsu')) ?? [])) {
    const last = parts.at(-1);
    if (last !== undefined && last.length + part.length <= width) parts[parts.length - 1] = last + part;
    else parts.push(part);
  }
  return parts;
}
