import type { JSX } from 'preact';
import { delayWords } from '../../ledger/delay-words.ts';
import type { DelayBar } from '../../ledger/delays.ts';
import { markWords } from '../../ledger/mark.ts';
import { marksOf, type ValueReport } from '../../ledger/report.ts';
import { look, seen } from './ledger-store.ts';
import { board } from '../stores/board.ts';

/** The whole session in figures, a line for each value that did something. */
export function Statistics(): JSX.Element | null {
  const report = seen.value?.report;
  if (report === undefined) return null;
  const rows = report.values.filter(
    ({ counts }) =>
      counts.truth + counts.read + counts.written + counts.notified + counts.indicated + counts.refused > 0,
  );
  return (
    <section class="ledger-statistics" aria-labelledby="ledger-statistics-title">
      <h2 id="ledger-statistics-title">The session in figures</h2>
      <div class="ledger-table" tabIndex={0} role="region" aria-labelledby="ledger-statistics-title">
        <table>
          <thead>
            <tr>
              <th scope="col">Value</th>
              <th scope="col">
                <span class="board-ink" aria-hidden="true">
                  ■{' '}
                </span>
                changed
              </th>
              <th scope="col">
                <span class="air-ink" aria-hidden="true">
                  ●{' '}
                </span>
                came
              </th>
              <th scope="col">read</th>
              <th scope="col">written</th>
              <th scope="col">refused</th>
              <th scope="col">let go by the rate</th>
              <th scope="col">delay: median, 95 %, worst</th>
              <th scope="col">how often</th>
              <th scope="col">marks</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <Row key={row.id} row={row} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Row({ row }: { readonly row: ValueReport }): JSX.Element {
  const { id, label, counts, delays } = row;
  const delay = delays.down.count > 0 ? delays.down : delays.up;
  const marks = marksOf(counts);
  const index = board.value?.plan.table.values.find((value) => value.id === id)?.index;
  return (
    <tr data-value={id}>
      <th scope="row">{label}</th>
      <td>{counts.truth}</td>
      <td>{counts.notified + counts.indicated}</td>
      <td>{counts.read}</td>
      <td>{counts.written}</td>
      <td>{counts.refused}</td>
      <td>{counts.coalesced}</td>
      <td class="ledger-delays">
        {delay.count === 0 ? '–' : [delay.median, delay.p95, delay.worst].map(delayWords).join(', ')}
        {delays.down.count === 0 && delay.count > 0 && ' (write)'}
      </td>
      <td>
        <Histogram bars={delay.bars} label={label} />
      </td>
      <td class="ledger-marks">
        {marks.map(([kind, count]) => (
          <button
            key={kind}
            type="button"
            class="ledger-mark"
            title={markWords[kind]}
            onClick={() => {
              look({ value: index, marksOnly: true, to: undefined, span: 1800e6 });
            }}
          >
            ▲ {count} {kind}
          </button>
        ))}
        {counts.unjudged > 0 && <span>{counts.unjudged} not judged</span>}
        {marks.length === 0 && counts.unjudged === 0 && 'none'}
      </td>
    </tr>
  );
}

/** How often each delay came: a bar for 1 to 2 ms, 2 to 5 ms and so on. */
function Histogram({
  bars,
  label,
}: {
  readonly bars: readonly DelayBar[];
  readonly label: string;
}): JSX.Element | null {
  const most = Math.max(0, ...bars.map(({ count }) => count));
  if (most === 0) return null;
  const width = 12;
  const first = bars[0];
  const last = bars.at(-1);
  const words = bars
    .filter(({ count }) => count > 0)
    .map(({ from, to, count }) => `${count} of ${delayWords(from)} to ${delayWords(to)}`);
  return (
    <figure class="ledger-histogram">
      <svg width={bars.length * width} height={26} role="img" aria-label={`${label}, delays: ${words.join('; ')}`}>
        {bars.map(({ from, count }, i) => {
          const height = count === 0 ? 0 : Math.max(1.5, (24 * count) / most);
          return <rect key={from} x={i * width + 1} y={25 - height} width={width - 2} height={height} />;
        })}
        <line x1={0} x2={bars.length * width} y1={25.5} y2={25.5} />
      </svg>
      <figcaption aria-hidden="true">
        {delayWords(first?.from ?? 0)} to {delayWords(last?.to ?? 0)}
      </figcaption>
    </figure>
  );
}
