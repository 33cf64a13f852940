import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { delayWords } from '../../ledger/delay-words.ts';
import type { LedgerReport } from '../../ledger/report.ts';
import { board, restartBoard } from '../stores/board.ts';
import { changeSpeed, ledgerView, look, seen, spans } from './ledger-store.ts';
import { bauds, hasSerial, isSerial, listenToSerial } from './serial.ts';
import { sessionTime, spanWords } from './time-words.ts';

/** What is looked at: which stretch of time, which value, all or only what is wrong; and how the session goes on. */
export function Controls(): JSX.Element {
  const { to, span, value, marksOnly } = ledgerView.value;
  const now = seen.value;
  const end = to ?? now?.now ?? 0;
  const values = board.value?.plan.table.values ?? [];
  return (
    <section class="ledger-head" aria-label="What is looked at">
      <h2>Ledger</h2>
      <p class="ledger-sentence" role="status">
        {now === undefined ? '' : sentence(now.report)}
      </p>
      {now?.notRecorded !== undefined && <p class="ledger-caution">▲ {now.notRecorded}</p>}
      <ReplayBar />
      <div class="ledger-controls">
        <button
          type="button"
          aria-pressed={to === undefined}
          onClick={() => {
            look({ to: to === undefined ? now?.now : undefined });
          }}
        >
          Follow
        </button>
        <button
          type="button"
          disabled={end <= span}
          onClick={() => {
            look({ to: Math.max(span, end - span / 2) });
          }}
        >
          Earlier
        </button>
        <button
          type="button"
          disabled={to === undefined}
          onClick={() => {
            const next = end + span / 2;
            look({ to: next >= (now?.now ?? 0) ? undefined : next });
          }}
        >
          Later
        </button>
        <label>
          Window{' '}
          <select
            value={String(span)}
            onChange={({ currentTarget }) => {
              look({ span: Number(currentTarget.value) });
            }}
          >
            {spans.map((one) => (
              <option key={one} value={String(one)}>
                {spanWords(one)}
              </option>
            ))}
          </select>
        </label>
        <label>
          Value{' '}
          <select
            value={value === undefined ? '' : String(value)}
            onChange={({ currentTarget }) => {
              look({ value: currentTarget.value === '' ? undefined : Number(currentTarget.value) });
            }}
          >
            <option value="">all</option>
            {values.map(({ index, label }) => (
              <option key={index} value={String(index)}>
                {label}
              </option>
            ))}
          </select>
        </label>
        <label class="ledger-check">
          <input
            type="checkbox"
            checked={marksOnly}
            onChange={({ currentTarget }) => {
              look({ marksOnly: currentTarget.checked });
            }}
          />{' '}
          only what is marked
        </label>
        <RealBoard />
        <span class="ledger-window mono">
          {sessionTime(Math.max(0, end - span))} to {sessionTime(end)}
        </span>
      </div>
    </section>
  );
}

const baud = signal(115_200);

/** The console of a real board, where the browser reaches serial ports. */
function RealBoard(): JSX.Element | null {
  if (!hasSerial()) return null;
  if (isSerial()) {
    return (
      <button
        type="button"
        onClick={() => {
          restartBoard({ made: 'model', connect: true });
        }}
      >
        Back to the virtual board
      </button>
    );
  }
  return (
    <span class="ledger-real">
      <button type="button" onClick={() => void listenToSerial(baud.value)}>
        Listen to a real board
      </button>
      <label>
        at{' '}
        <select
          value={String(baud.value)}
          onChange={({ currentTarget }) => {
            baud.value = Number(currentTarget.value);
          }}
        >
          {bauds.map((one) => (
            <option key={one} value={String(one)}>
              {one.toLocaleString('en')} baud
            </option>
          ))}
        </select>
      </label>
    </span>
  );
}

const speeds = [0.25, 1, 4, 16, 64] as const;

/** The recording that is played in place of the board. */
function ReplayBar(): JSX.Element | null {
  const now = seen.value;
  const replay = now?.replay;
  if (now === undefined || replay === undefined) return null;
  const speed = replay.speed === 0 ? 1 : replay.speed;
  return (
    <div class="ledger-replay">
      <strong>A recording is played again</strong>
      <span class="mono">
        {sessionTime(now.now)} of {sessionTime(replay.length)}
      </span>
      <button type="button" disabled={replay.isOver} onClick={() => void changeSpeed(replay.speed === 0 ? 1 : 0)}>
        {replay.isOver ? 'At its end' : replay.speed === 0 ? 'Go on' : 'Pause'}
      </button>
      <label>
        Speed{' '}
        <select value={String(speed)} onChange={({ currentTarget }) => void changeSpeed(Number(currentTarget.value))}>
          {speeds.map((one) => (
            <option key={one} value={String(one)}>
              {one} ×
            </option>
          ))}
        </select>
      </label>
      <button
        type="button"
        onClick={() => {
          restartBoard({ connect: true });
        }}
      >
        Back to the board
      </button>
    </div>
  );
}

function sentence({ values, marks, clock, console }: LedgerReport): string {
  const crossings = values.reduce(
    (sum, { counts }) => sum + counts.read + counts.written + counts.notified + counts.indicated,
    0,
  );
  const truth = values.reduce((sum, { counts }) => sum + counts.truth, 0);
  const parts = [
    `${truth.toLocaleString('en')} changes on the board, ${crossings.toLocaleString('en')} crossings`,
    marks === 0 ? 'each accounted for' : marks === 1 ? 'one marked' : `${marks.toLocaleString('en')} marked`,
  ];
  if (clock !== undefined) {
    parts.push(
      `times of the board within ${delayWords(clock.uncertainty)}${clock.bounded ? '' : ' if its lines come at once'}`,
    );
  }
  if (console.noise > 0) parts.push(`${console.noise} console lines unreadable`);
  if (console.resets > 0) parts.push(`reset ${console.resets} times`);
  return `${parts.join('; ')}.`;
}
