import type { JSX } from 'preact';
import type { Entry } from '../../ledger/entry.ts';
import { board } from '../stores/board.ts';
import { seen } from './ledger-store.ts';
import { Lane } from './lane.tsx';
import { axisTicks, sessionTime } from './time-words.ts';

/** Truth and air of every value that did something in the window, on one time axis. */
export function Lanes(): JSX.Element | null {
  const now = seen.value;
  const values = board.value?.plan.table.values ?? [];
  if (now === undefined) return <p class="ledger-empty">The ledger is being fetched.</p>;
  const byValue = new Map<number, Entry[]>();
  for (const entry of now.entries) {
    const list = byValue.get(entry.value);
    if (list === undefined) byValue.set(entry.value, [entry]);
    else list.push(entry);
  }
  // What only held its first value did nothing.
  const busy = values.filter(
    ({ index }) => byValue.get(index)?.some((entry) => entry.kind !== 'truth' || entry.cause !== 'start') === true,
  );
  const still = values.length - busy.length;
  const links = now.entries.filter((entry) => entry.kind === 'link');
  return (
    <section class="ledger-lanes" aria-label="Truth and air">
      <ol class="ledger-lanes-list">
        {busy.map((definition) => (
          <Lane
            key={definition.id}
            definition={definition}
            entries={byValue.get(definition.index) ?? []}
            from={now.from}
            to={now.to}
          />
        ))}
      </ol>
      {busy.length > 0 && (
        <div class="ledger-axis" aria-hidden="true">
          {axisTicks(now.from, now.to, 8).map((at) => (
            <span key={at} style={{ left: `${(100 * (at - now.from)) / (now.to - now.from)}%` }}>
              {sessionTime(at)}
            </span>
          ))}
          {links.map(({ at, event }, i) => (
            <span
              key={`${event} ${at}`}
              class={`ledger-axis-link ${i % 2 === 0 ? '' : 'ledger-axis-below'}`}
              style={{ left: `${(100 * (at - now.from)) / (now.to - now.from)}%` }}
            >
              {event}
            </span>
          ))}
        </div>
      )}
      <p class="ledger-note">
        {busy.length === 0
          ? 'Nothing happened in this stretch of time. Connect, read, write or subscribe; or choose a longer one.'
          : still === 1
            ? 'One value did nothing in this stretch of time.'
            : still > 1
              ? `${still} values did nothing in this stretch of time.`
              : ''}
        {now.thinned && ' There is more than can be drawn apart: some crossings are left out, marks never.'}
      </p>
    </section>
  );
}
