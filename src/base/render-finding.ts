import type { Finding, Severity } from './finding.ts';
import { lineIndex, type LineIndex, type SourceRange } from './text-range.ts';

/** Wraps text for emphasis; the plain palette returns it unchanged. */
export type Palette = Readonly<Record<Severity | 'strong' | 'quiet', (text: string) => string>>;

const same = (text: string): string => text;
export const plainPalette: Palette = { error: same, warning: same, note: same, strong: same, quiet: same };

const longestExcerpt = 110;

/**
 * One finding as a block of text: heading, place, excerpt with a caret, related places, remedy.
 *
 * @param name the file's name as the user gave it
 */
export function renderFinding(finding: Finding, name: string, lines: LineIndex, palette: Palette): string {
  const paint = palette[finding.severity];
  const { line, column } = lines.position(finding.at.start);
  const out = [
    `${palette.strong(`${name}:${line}:${column}:`)} ${paint(finding.severity)} ${palette.quiet(`[${finding.code}]`)}`,
    `  ${finding.message}`,
    ...excerpt(finding.at, lines, paint, palette),
  ];
  for (const other of finding.related) {
    const place = lines.position(other.at.start);
    out.push(`  ${palette.quiet(`${name}:${place.line}:${place.column}:`)} ${other.message}`);
    out.push(...excerpt(other.at, lines, palette.quiet, palette));
  }
  out.push(`  ${palette.strong('remedy:')} ${finding.hint}`);
  return out.join('\n');
}

/** All findings of one text, separated by empty lines, with a closing count. */
export function renderFindings(
  findings: readonly Finding[],
  name: string,
  text: string,
  palette: Palette = plainPalette,
): string {
  const lines = lineIndex(text);
  const blocks = findings.map((finding) => renderFinding(finding, name, lines, palette));
  return [...blocks, `${name}: ${countFindings(findings)}`].join('\n\n');
}

/** `2 errors, 1 warning`, or `no findings`. */
export function countFindings(findings: readonly Finding[]): string {
  const parts: string[] = [];
  for (const severity of ['error', 'warning', 'note'] as const) {
    const n = findings.filter((finding) => finding.severity === severity).length;
    if (n > 0) parts.push(`${n} ${severity}${n === 1 ? '' : 's'}`);
  }
  return parts.length === 0 ? 'no findings' : parts.join(', ');
}

/** A finding as plain data for `--format json`: lines and columns from 1, offsets beside them. */
export type FindingJson = {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly hint: string;
  readonly place: PlaceJson;
  readonly related: readonly { readonly message: string; readonly place: PlaceJson }[];
};

export type PlaceJson = {
  readonly line: number;
  readonly column: number;
  readonly start: number;
  readonly end: number;
};

export function placeJson(range: SourceRange, lines: LineIndex): PlaceJson {
  return { ...lines.position(range.start), start: range.start, end: range.end };
}

export function findingJson(finding: Finding, lines: LineIndex): FindingJson {
  return {
    code: finding.code,
    severity: finding.severity,
    message: finding.message,
    hint: finding.hint,
    place: placeJson(finding.at, lines),
    related: finding.related.map((other) => ({ message: other.message, place: placeJson(other.at, lines) })),
  };
}

/** The line of a place and a caret line under it. A place of several lines is shown by its first. */
export function excerpt(
  range: SourceRange,
  lines: LineIndex,
  paint: (text: string) => string,
  palette: Palette,
): string[] {
  const { line, column } = lines.position(range.start);
  const last = lines.position(range.end);
  const full = lines.lineText(line);
  // A very long line is shown from a little before the place, so that the caret stays on the screen.
  const from = column > longestExcerpt - 30 ? column - 30 : 1;
  const shown = printable(full.slice(from - 1, from - 1 + longestExcerpt));
  const endColumn = last.line === line ? last.column : full.length + 1;
  const width = Math.max(1, Math.min(endColumn, from + shown.length) - column);
  const gutter = String(line);
  const blank = ' '.repeat(gutter.length);
  return [
    `  ${palette.quiet(`${gutter} |`)} ${from > 1 ? '…' : ''}${shown}`,
    `  ${palette.quiet(`${blank} |`)} ${' '.repeat(column - from + (from > 1 ? 1 : 0))}${paint('^'.repeat(width))}`,
  ];
}

/** Control characters, and half a pair that the cut left, would move the cursor; each becomes one visible column. */
export function printable(text: string): string {
  return text.replace(/\t/g, ' ').replace(/[\p{Cc}\p{Cs}\u202a-\u202e\u2066-\u2069]/gu, '\u00b7');
}
