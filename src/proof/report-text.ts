import { excerpt, plainPalette, printable, type Palette } from '../base/render-finding.ts';
import { allCases, countWords, needsAttention, type ExchangeLine, type Report, type ReportCase } from './report.ts';
import { timeWords } from './words.ts';

export type TextOptions = {
  readonly palette?: Palette;
  /** Lines of the exchange shown of each case that needs attention; default 12, the last ones. */
  readonly exchange?: number;
};

/** The proof for a terminal: what needs attention in full, then the families, then one line that says it all. */
export function reportText(report: Report, options: TextOptions = {}): string {
  const { palette = plainPalette, exchange = 12 } = options;
  const blocks = allCases(report)
    .filter(needsAttention)
    .map((one) => caseBlock(report, one, palette, exchange));
  return [...blocks, familyTable(report, palette), conclusion(report, palette)].join('\n\n');
}

function caseBlock(report: Report, one: ReportCase, palette: Palette, most: number): string {
  const paint = one.verdict === 'failed' ? palette.error : palette.warning;
  const word = one.bug ? 'failed, by a mistake of this program' : one.verdict;
  const { line, column } = one.place;
  return [
    `${paint(word)} ${palette.strong(one.id)}`,
    `  ${printable(one.about)}`,
    `  ${palette.strong('expected:')} ${printable(one.expected)}`,
    `  ${palette.strong('seen:')}     ${printable(one.seen)}`,
    `  ${palette.quiet(`${printable(report.file)}:${line}:${column}`)}`,
    ...excerpt(one.range, report.lines, palette.quiet, palette),
    ...exchangeLines(one.exchange, palette, most),
  ].join('\n');
}

/** The console's square and the link's dash stand where PDUs have their arrow. */
const mark = { console: '■', link: '–' } as const;

function exchangeLines(all: readonly ExchangeLine[], palette: Palette, most: number): readonly string[] {
  const last = all.slice(-most);
  const several = all.some((line) => line.kind === 'pdu' && line.connection > 1);
  const before = all.length - last.length;
  return [
    ...(before > 0 ? [`  ${palette.quiet(`… ${before} before`)}`] : []),
    ...last.map((line) => {
      if (line.kind === 'left-out') return `  ${palette.quiet(`… ${line.count} left out`)}`;
      const time = palette.quiet(timeWords(line.at).padStart(10));
      if (line.kind === 'word') return `  ${time} ${several ? '  ' : ''}${mark[line.by]} ${printable(line.about)}`;
      const who = several ? ` ${line.connection}` : '';
      const arrow = line.from === 'central' ? '→' : '←';
      return `  ${time}${who} ${arrow} ${printable(line.about)}`;
    }),
  ];
}

function familyTable(report: Report, palette: Palette): string {
  const width = Math.max(0, ...report.families.map(({ family }) => family.length));
  return report.families
    .map(({ family, counts, title }) => {
      const well = counts.failed === 0 && counts.inconclusive === 0;
      const words = countWords(counts);
      return `${family.padEnd(width)}  ${well ? words : palette.error(words)}  ${palette.quiet(title)}`;
    })
    .join('\n');
}

function conclusion(report: Report, palette: Palette): string {
  const { board, link, seed, total, counts } = report;
  const run = counts.passed + counts.failed + counts.inconclusive + counts.notReachable;
  const stopped = report.stopped ? `, stopped after ${run} of ${total} cases` : '';
  const words = report.proved ? palette.strong(countWords(counts)) : palette.error(countWords(counts));
  return `${printable(board)}, ${printable(link)}, seed ${seed}: ${words}${stopped}`;
}
