import type { JSX } from 'preact';
import { toHex } from '../../base/bytes.ts';
import { delayWords } from '../../ledger/delay-words.ts';
import { markOf } from '../../ledger/entry.ts';
import { markWords } from '../../ledger/mark.ts';
import type { Table } from '../../table/model.ts';
import { showBytes } from '../../values/show.ts';
import { board } from '../stores/board.ts';
import { ByteRuler } from '../ruler/byte-ruler.tsx';
import { choose, chosen } from './chosen.ts';
import { seen } from './ledger-store.ts';
import { lanes, stepOf, type LaneName, type Step } from './steps.ts';
import { sessionTime } from './time-words.ts';

/** Steps that are listed: what a person can read. */
const mostSteps = 80;
/** Of the drawing, CSS pixels. */
const laneWidth = 48;
const height = 28;
const width = lanes.length * laneWidth;

/** The exchange step by step, the newest first: central, link, board and rig in lanes, octets, meanings and delays beside. */
export function Sequence(): JSX.Element | null {
  const now = seen.value;
  const table = board.value?.plan.table;
  if (now === undefined || table === undefined) return null;
  const steps = now.entries
    .slice(-mostSteps)
    .map(stepOf)
    .sort((a, b) => b.at - a.at);
  return (
    <section class="ledger-sequence" aria-labelledby="ledger-sequence-title">
      <h2 id="ledger-sequence-title">The exchange, step by step</h2>
      {steps.length === 0 ? (
        <p class="ledger-note">What central and board say to each other stands here, the newest first.</p>
      ) : (
        <>
          <p class="ledger-note">
            The newest {steps.length} steps of the window, the newest first. Hold it by “Follow” to read it; press a
            value for its octets.
          </p>
          <div class="ledger-steps-head" aria-hidden="true">
            {lanes.map((lane) => (
              <span key={lane}>{lane}</span>
            ))}
          </div>
          <ol class="ledger-steps" tabIndex={0} aria-label="Steps, the newest first">
            {steps.map((step) => (
              <StepRow key={`${step.entry.kind} ${step.entry.value} ${step.entry.at}`} step={step} table={table} />
            ))}
          </ol>
        </>
      )}
      <Chosen table={table} />
    </section>
  );
}

function StepRow({ step, table }: { readonly step: Step; readonly table: Table }): JSX.Element {
  const { entry, at, words } = step;
  const definition = table.values[entry.value];
  const mark = markOf(entry);
  const delay = entry.kind === 'air' ? entry.delay : undefined;
  const isChosen = chosen.value === entry;
  return (
    <li class={`ledger-step${mark === undefined ? '' : ' ledger-step-marked'}`}>
      <span class="ledger-step-time mono">{sessionTime(at, true)}</span>
      <Arrow step={step} />
      <span class="ledger-step-words">
        {definition === undefined ? (
          words
        ) : (
          <>
            <button
              type="button"
              class="plain"
              aria-pressed={isChosen}
              onClick={() => {
                choose(isChosen ? undefined : entry);
              }}
            >
              {definition.label}
            </button>{' '}
            {words}: {entry.raw === undefined ? '–' : showBytes(definition.type, entry.raw)}
          </>
        )}
        {mark !== undefined && (
          <strong class="ledger-step-mark">
            {' '}
            ▲ {mark}
            {entry.kind === 'air' && entry.by > 0 && ` by ${delayWords(entry.by)}`}
          </strong>
        )}
      </span>
      <code class="ledger-step-octets">{entry.raw === undefined ? '' : toHex(entry.raw, ' ')}</code>
      <span class="ledger-step-delay">{delay === undefined ? '' : delayWords(delay)}</span>
    </li>
  );
}

/** Who reaches whom: a square for the board's side, a circle where something crosses the link. */
function Arrow({ step }: { readonly step: Step }): JSX.Element {
  const { from, to, both, broken, entry } = step;
  const x = (lane: LaneName): number => (lanes.indexOf(lane) + 0.5) * laneWidth;
  const y = height / 2;
  const [start, end] = [x(from), x(to)];
  const towards = Math.sign(end - start);
  const crosses = from === 'central' || to === 'central' || to === 'link';
  return (
    <svg class="ledger-arrow" width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {lanes.map((lane) => (
        <line key={lane} class="ledger-arrow-lane" x1={x(lane)} x2={x(lane)} y1={0} y2={height} />
      ))}
      <g class={crosses ? 'ledger-arrow-air' : 'ledger-arrow-board'}>
        {towards === 0 ? (
          <rect x={start - 4} y={y - 4} width={8} height={8} />
        ) : (
          <>
            <line x1={start} x2={end} y1={y} y2={y} stroke-dasharray={broken ? '4 4' : undefined} />
            <path d={head(end, y, towards)} />
            {both && <path d={head(start, y, -towards)} />}
            {crosses && entry.kind !== 'missing' && !broken && <circle cx={x('link')} cy={y} r={4} />}
            {broken && <path d={`M${x('link') - 5} ${y - 5}l10 10m0-10l-10 10`} />}
          </>
        )}
      </g>
    </svg>
  );
}

function head(x: number, y: number, towards: number): string {
  return `M${x - 6 * towards} ${y - 4}L${x} ${y}L${x - 6 * towards} ${y + 4}`;
}

/** The octets of the line that was chosen, drawn to scale, with what is wrong with it. */
function Chosen({ table }: { readonly table: Table }): JSX.Element | null {
  const entry = chosen.value;
  const definition = entry === undefined ? undefined : table.values[entry.value];
  if (entry === undefined || definition === undefined) return null;
  const { words, at } = stepOf(entry);
  const mark = markOf(entry);
  return (
    <aside class="ledger-chosen" aria-label="The value that was pressed">
      <h3>
        {definition.label}, {words}, {sessionTime(at, true)}
      </h3>
      {mark !== undefined && (
        <p>
          ▲ {mark}: {markWords[mark]}.
        </p>
      )}
      {entry.kind === 'air' && entry.delay !== undefined && <p>Delay {delayWords(entry.delay)}.</p>}
      {entry.raw !== undefined && (
        <>
          <p class="ledger-chosen-value">{showBytes(definition.type, entry.raw)}</p>
          <ByteRuler
            type={definition.type}
            bytes={entry.raw}
            ink={entry.kind === 'truth' ? 'board' : 'air'}
            name={definition.label}
          />
        </>
      )}
      <button
        type="button"
        onClick={() => {
          choose(undefined);
        }}
      >
        Close
      </button>
    </aside>
  );
}
