import { computed, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { faults, faultThemes } from '../../board/faults/registry.ts';
import type { Fault } from '../../board/model.ts';
import { board, planted, restartBoard, startRefused } from '../stores/board.ts';
import { startProof } from '../stores/proof.ts';
import { showView } from '../stores/view.ts';
import { matchesWords } from './matches-words.ts';
import { Prose } from './prose.tsx';

/** Faults whose symptom shows at once on the wave tank: where a lesson begins. */
const firstLessons: readonly string[] = [
  'failsafe-missing',
  'out-of-range-clamped',
  'write-without-effect',
  'refused-but-changed',
  'byte-order-swapped',
  'change-not-notified',
  'mtu-ignored',
  'encryption-not-required',
];
const lessons = 'For a first lesson';
const everything = 'All';

const theme = signal(lessons);
const words = signal('');

const listed = computed<readonly Fault[]>(() => {
  const asked = words.value.trim();
  // Who looks for a word looks for it everywhere.
  if (asked !== '')
    return faults.filter(({ name, about, symptom }) => matchesWords(`${name} ${about} ${symptom}`, asked));
  if (theme.value === everything) return faults;
  if (theme.value === lessons) return faults.filter(({ name }) => firstLessons.includes(name));
  return faultThemes.find((one) => one.theme === theme.value)?.faults ?? faults;
});

/** Faults that can be planted in the virtual board, to watch their symptom and see the proof catch them. */
export function PlantedFaults(): JSX.Element {
  return (
    <section class="proof-faults" aria-labelledby="proof-faults">
      <h2 id="proof-faults">Plant a fault</h2>
      <p>
        A proof is worth what it catches. Plant a fault, watch what it does on the panel, then run the proof: a case
        should name it. Each switch restarts the virtual board.
      </p>
      <PlantedNow />
      <div class="proof-filters">
        <label>
          Theme
          <select
            value={theme.value}
            disabled={words.value.trim() !== ''}
            onChange={({ currentTarget }) => {
              theme.value = currentTarget.value;
            }}
          >
            {[lessons, ...faultThemes.map((one) => one.theme), everything].map((name) => (
              <option key={name} value={name}>
                {name === everything ? `All ${faults.length}` : name}
              </option>
            ))}
          </select>
        </label>
        <label>
          Words
          <input
            type="search"
            value={words.value}
            placeholder="notify"
            onInput={({ currentTarget }) => {
              words.value = currentTarget.value;
            }}
          />
        </label>
      </div>
      {listed.value.length === 0 ? (
        <p class="proof-lead">No fault is described by these words.</p>
      ) : (
        <ul class="proof-fault-list">
          {listed.value.map((fault) => (
            <FaultRow key={fault.name} fault={fault} />
          ))}
        </ul>
      )}
    </section>
  );
}

function PlantedNow(): JSX.Element | null {
  const names = planted.value;
  if (names.length === 0) return null;
  const isRunning = names.every((name) => board.value?.faults.includes(name));
  return (
    <div class="proof-planted" role="status">
      <p>
        <strong>{names.length === 1 ? 'One fault is planted' : `${names.length} faults are planted`}</strong>
        {isRunning ? ' in the board on the panel.' : startRefused.value === undefined ? '.' : notStarted}
      </p>
      <button
        type="button"
        onClick={() => {
          showView('panel');
        }}
      >
        Watch on the panel
      </button>
      <button
        type="button"
        onClick={() => {
          startProof([], planted.value);
        }}
      >
        Run proof on it
      </button>
      <button
        type="button"
        onClick={() => {
          restartBoard({ faults: [] });
        }}
      >
        Take all out
      </button>
    </div>
  );
}

const notStarted = '; the contract has errors, so the board on the panel is still the one before.';

function FaultRow({ fault }: { readonly fault: Fault }): JSX.Element {
  const { name, about, symptom } = fault;
  const on = planted.value.includes(name);
  return (
    <li class={on ? 'proof-fault proof-fault-on' : 'proof-fault'}>
      <label>
        <input
          type="checkbox"
          checked={on}
          onChange={() => {
            restartBoard({ faults: on ? planted.value.filter((other) => other !== name) : [...planted.value, name] });
          }}
        />
        <span class="proof-fault-about">
          <Prose text={about} />
        </span>
        <span class="proof-fault-symptom">
          Seen on the bench: <Prose text={symptom} />
        </span>
        <code>{name}</code>
      </label>
    </li>
  );
}
