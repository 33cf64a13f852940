import type { Palette } from '../base/render-finding.ts';
import { textColumns, wrap } from '../table/text-columns.ts';
import { delayWords } from './delay-words.ts';
import type { DelaySummary } from './delays.ts';
import { markKinds, markWords } from './mark.ts';
import { marksOf, type LedgerReport, type ValueReport } from './report.ts';

export type ReportTextOptions = { readonly columns: number; readonly palette: Palette };

/** The ledger for people: a line for each value, what each mark that there is means, and how far the clocks are to be trusted. */
export function reportText(report: LedgerReport, { columns, palette }: ReportTextOptions): string {
  const table = textColumns(
    [
      { heading: 'value', widest: 32 },
      { heading: 'truth', widest: 9 },
      { heading: 'read', widest: 9 },
      { heading: 'written', widest: 9 },
      { heading: 'came', widest: 9 },
      { heading: 'refused', widest: 9 },
      { heading: 'delay, 95 %, worst', widest: 30 },
    ],
    'marks',
    report.values.map(cells),
    columns,
  );
  const kinds = markKinds.filter((kind) => report.values.some(({ counts }) => counts.marks[kind] > 0));
  const meanings = kinds.flatMap((kind) => wrap(`${kind}: ${markWords[kind]}`, columns));
  return [
    palette.strong(table.heading),
    ...table.rows.flat(),
    '',
    ...(meanings.length === 0 ? ['no marks: each value that crossed is accounted for'] : meanings),
    ...wrap(trust(report), columns).map(palette.quiet),
    '',
  ].join('\n');
}

function cells({ id, counts, delays }: ValueReport): readonly string[] {
  const came = counts.notified + counts.indicated;
  const marks = marksOf(counts).map(([kind, count]) => `${count} ${kind}`);
  if (counts.unjudged > 0) marks.push(`${counts.unjudged} not judged`);
  const delay = [
    ['', delays.down],
    ['write ', delays.up],
  ] as const;
  return [
    id,
    String(counts.truth),
    String(counts.read),
    String(counts.written),
    String(came),
    String(counts.refused),
    delay.flatMap(([word, summary]) => (summary.count === 0 ? [] : [`${word}${three(summary)}`])).join('; ') || '-',
    marks.join(', ') || '-',
  ];
}

function three({ median, p95, worst }: DelaySummary): string {
  return [median, p95, worst].map(delayWords).join(', ');
}

function trust({ clock, console: { noise, lost, resets } }: LedgerReport): string {
  if (clock === undefined)
    return 'without a console nothing is known of the truth: what crossed is counted and not judged';
  const words = [
    `times of the board are within ${delayWords(clock.uncertainty)}${clock.bounded ? '' : ' if its lines came at once'}`,
    `its clock is ${Math.abs(clock.driftPpm).toFixed(0)} ppm ${clock.driftPpm < 0 ? 'slow' : 'fast'}`,
  ];
  if (noise > 0) words.push(`${noise} lines of its console could not be read`);
  if (lost > 0) words.push(`${lost} lines it could not print`);
  if (resets > 0) words.push(`it was reset ${resets === 1 ? 'once' : `${resets} times`}`);
  return words.join('; ');
}
