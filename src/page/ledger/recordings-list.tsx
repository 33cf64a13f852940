import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { askUser } from '../stores/question.ts';
import type { ExportFormat, Recording } from '../worker/ledger-protocol.ts';
import {
  busy,
  compared,
  compareRecordings,
  deleteRecording,
  exportRecording,
  importRecording,
  listRecordings,
  playRecording,
  recordings,
  seen,
  showBegan,
} from './ledger-store.ts';
import { sessionTime } from './time-words.ts';

const formats: readonly (readonly [ExportFormat, string])[] = [
  ['recording', 'the recording itself'],
  ['csv', 'values as CSV'],
  ['parquet', 'values as Parquet'],
  ['jsonl', 'values as JSON lines'],
  ['pcapng', 'packets as pcapng'],
];

/** The one that others are compared with. */
const first = signal<number | undefined>(undefined);
const format = signal<ExportFormat>('recording');

/** The recordings of this browser: every session is one, from its first moment. */
export function RecordingsList(): JSX.Element {
  const all = recordings.value;
  const working = busy.value !== undefined;
  return (
    <section class="ledger-recordings" aria-labelledby="ledger-recordings-title">
      <h2 id="ledger-recordings-title">Recordings</h2>
      <p class="ledger-note">
        Every session is recorded in this browser as it happens, and nowhere else; the newest twelve are kept. A closed
        tab loses its last second at most.
      </p>
      <div class="ledger-controls">
        <button type="button" onClick={() => void listRecordings()}>
          Look again
        </button>
        <label class="ledger-import">
          Open a recording{' '}
          <input
            type="file"
            accept=".jsonl"
            onChange={({ currentTarget }) => {
              const file = currentTarget.files?.[0];
              currentTarget.value = '';
              if (file !== undefined) void importRecording(file);
            }}
          />
        </label>
        <label>
          Export as{' '}
          <select
            value={format.value}
            onChange={({ currentTarget }) => {
              format.value = currentTarget.value as ExportFormat;
            }}
          >
            {formats.map(([name, words]) => (
              <option key={name} value={name}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <span role="status">{busy.value === undefined ? '' : `${busy.value} …`}</span>
      </div>
      {all.length === 0 ? (
        <p class="ledger-note">None is there yet: this session’s appears within a few seconds.</p>
      ) : (
        <ol>
          {all.map((recording) => (
            <Row key={recording.id} recording={recording} all={all} working={working} />
          ))}
        </ol>
      )}
      <Comparison />
    </section>
  );
}

type RowProps = { readonly recording: Recording; readonly all: readonly Recording[]; readonly working: boolean };

function Row({ recording, all, working }: RowProps): JSX.Element {
  const { id, name, length, observations, size, isOpen } = recording;
  const other = all.find((one) => one.id === first.value);
  const words = `${name}, ${showBegan(recording)}`;
  const playing = seen.value?.replay !== undefined && seen.value.recording === id;
  return (
    <li class="ledger-recording">
      <div>
        <strong>{name}</strong> <span>{showBegan(recording)}</span>{' '}
        <span class="ledger-soft">
          {isOpen ? 'being recorded, ' : ''}
          {playing ? 'being played, ' : ''}
          {sessionTime(length)}, {observations.toLocaleString('en')} observations, {Math.ceil(size / 1024)} KiB
        </span>
      </div>
      <div class="ledger-recording-acts">
        <button type="button" disabled={working} aria-label={`Play ${words}`} onClick={() => void play(recording)}>
          Play
        </button>
        <button
          type="button"
          disabled={working}
          aria-label={`Export ${words}`}
          onClick={() => void exportRecording(recording, format.value)}
        >
          Export
        </button>
        <button
          type="button"
          disabled={working}
          aria-pressed={first.value === id}
          aria-label={
            other === undefined || other.id === id ? `Compare ${words}` : `Compare ${words} with the chosen one`
          }
          onClick={() => {
            if (other === undefined) first.value = id;
            else if (other.id === id) first.value = undefined;
            else {
              first.value = undefined;
              void compareRecordings(other, recording);
            }
          }}
        >
          {other === undefined || other.id === id ? 'Compare' : 'With this'}
        </button>
        <button
          type="button"
          disabled={working || isOpen || playing}
          aria-label={`Delete ${words}`}
          onClick={() => void confirmDelete(recording)}
        >
          Delete
        </button>
      </div>
    </li>
  );
}

async function play(recording: Recording): Promise<void> {
  const answer = await askUser(
    `The recording takes the board’s place until you go back to it. The running session ends, and its recording stays here.`,
    ['Leave the board running', 'Play the recording'],
  );
  if (answer === 'Play the recording') await playRecording(recording.id, 1);
}

async function confirmDelete(recording: Recording): Promise<void> {
  const answer = await askUser(`Delete the recording of ${recording.name}, ${showBegan(recording)}?`, [
    'Keep it',
    'Delete it',
  ]);
  if (answer === 'Delete it') await deleteRecording(recording.id);
}

function Comparison(): JSX.Element | null {
  const result = compared.value;
  if (result === undefined) return null;
  const { words, differences } = result;
  return (
    <div class="ledger-comparison">
      <h3>Compared: {words}</h3>
      {differences.length === 0 ? (
        <p>No difference in values, counts, marks and delays.</p>
      ) : (
        <div class="ledger-table" tabIndex={0} role="region" aria-label="Differences">
          <table>
            <thead>
              <tr>
                <th scope="col">Value</th>
                <th scope="col">What differs</th>
                <th scope="col">First</th>
                <th scope="col">Second</th>
              </tr>
            </thead>
            <tbody>
              {differences.map((one) => (
                <tr key={`${one.id} ${one.what}`}>
                  <th scope="row">{one.id}</th>
                  <td>{one.what}</td>
                  <td class="mono">{one.first}</td>
                  <td class="mono">{one.second}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
    </div>
  );
}
