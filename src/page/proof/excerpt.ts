import { printable } from '../../base/render-finding.ts';
import type { LineIndex, Position } from '../../base/text-range.ts';

/** Lines shown with a case, and characters of a line. */
const mostLines = 8;
const longestLine = 120;

/** The entity that begins at `place`: its first line, and those that are indented as its keys are. */
export function excerptOf(
  lines: LineIndex,
  place: Position,
): readonly { readonly line: number; readonly text: string }[] {
  const shown: { readonly line: number; readonly text: string }[] = [];
  for (let line = place.line; line <= lines.lineCount && shown.length < mostLines; line++) {
    const text = lines.lineText(line);
    if (line > place.line && text.search(/\S/) < place.column - 1) break;
    const cut = text.length > longestLine ? `${text.slice(0, longestLine)}…` : text;
    shown.push({ line, text: printable(cut) });
  }
  return shown;
}
