import { us } from '../../base/quantity.ts';
import type { Palette } from '../../base/render-finding.ts';
import { delayWords } from '../../ledger/delay-words.ts';
import { Ledger } from '../../ledger/ledger.ts';
import type { Observation } from '../../ledger/observation.ts';
import { jsonLine } from '../../ledger/json-lines.ts';
import { Replay } from '../../ledger/replay.ts';
import { reportText } from '../../ledger/report-text.ts';
import { reportLedger } from '../../ledger/report.ts';
import { rowOf, type LedgerRow } from '../../ledger/rows.ts';
import { RealClock } from '../../links/real-clock.ts';
import { CannotRun } from '../cannot-run.ts';
import { required, type Run } from '../command.ts';
import { openSession } from '../open-session.ts';

export const run: Run = async (input, io) => {
  const path = required(input, 'SESSION');
  const speed = chosenSpeed(input.option('speed') ?? '1');
  const json = input.option('format') === 'json';
  const observations: Observation[] = [];
  const { table } = await openSession(path, io, { onObserved: (observation) => observations.push(observation) });

  const only = input.option('only');
  if (only !== undefined && !table.values.some(({ id }) => id === only)) {
    throw new CannotRun(
      `the recording has no value \`${only}\``,
      `it has: ${table.values.map(({ id }) => id).join(', ')}`,
    );
  }
  const ledger = new Ledger(table, {
    onEntry: (entry) => {
      const row = rowOf(table, entry);
      if (row === undefined || (only !== undefined && row.id !== only)) return;
      io.out(json ? jsonLine(row) : textLine(row, io.outPalette));
    },
  });
  const clock = new RealClock();
  await new Promise<void>((resolve) => {
    const replay = new Replay(
      observations,
      clock,
      (observation) => {
        ledger.take(observation);
      },
      resolve,
    );
    const quiet = io.onInterrupt(() => {
      replay.pause();
      resolve();
    });
    replay.start(speed);
    void Promise.resolve().then(() => {
      if (replay.isOver) quiet();
    });
  });
  ledger.advance(us(ledger.now));
  ledger.finish();
  const report = reportLedger(ledger);
  if (!json) io.err(reportText(report, { columns: io.columns, palette: io.errPalette }));
  return report.marks === 0 ? 0 : 1;
};

function chosenSpeed(text: string): number {
  if (text === 'max') return Infinity;
  const speed = Number(text);
  if (/^\d{1,4}(\.\d{1,3})?$/.test(text) && speed >= 0.01 && speed <= 1000) return speed;
  throw new CannotRun(`--speed is \`${text}\``, 'write a number from 0.01 to 1000, or `max`');
}

/** The board's side has a square, the air a circle, what is wrong a triangle. */
function textLine(row: LedgerRow, palette: Palette): string {
  const sign = row.side === 'board' ? '■' : row.side === 'air' ? '●' : '○';
  const delay = row.delay === undefined ? '' : `  ${delayWords(row.delay * 1e6)}`;
  const mark = row.mark === '' ? '' : `  ${palette.warning(`▲ ${row.mark}`)}`;
  const time = palette.quiet(row.time.toFixed(3).padStart(10));
  return `${time} ${sign} ${row.id} ${row.how}: ${row.value} ${palette.quiet(`(${row.raw})`)}${delay}${mark}\n`;
}
