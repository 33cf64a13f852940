import { signal, type ReadonlySignal } from '@preact/signals';
import type { Difference } from '../../ledger/compare.ts';
import { onNews, tell } from '../stores/port.ts';
import { say } from '../stores/words.ts';
import type { ExportFormat, LedgerAnswer, LedgerWant, Recording, Seen } from '../worker/ledger-protocol.ts';

/** Lengths of the window that can be chosen, microseconds. */
export const spans = [5e6, 15e6, 60e6, 300e6, 1800e6] as const;

/** How often the window follows, milliseconds. */
const period = 250;
/** Lines of one value that are drawn: more than the pixels of a wide window can hold apart. */
const mostLines = 400;

export type View = {
  /** The window's end, microseconds of the session; `undefined` follows now. */
  readonly to: number | undefined;
  readonly span: number;
  readonly value: number | undefined;
  readonly marksOnly: boolean;
};

const viewNow = signal<View>({ to: undefined, span: spans[1], value: undefined, marksOnly: false });
const seenNow = signal<Seen | undefined>(undefined);
const recordingsNow = signal<readonly Recording[]>([]);
const comparedNow = signal<{ readonly words: string; readonly differences: readonly Difference[] } | undefined>(
  undefined,
);
const busyNow = signal<string | undefined>(undefined);

export const ledgerView: ReadonlySignal<View> = viewNow;
/** What was last seen of the ledger. */
export const seen: ReadonlySignal<Seen | undefined> = seenNow;
/** The recordings of this browser, the newest first. */
export const recordings: ReadonlySignal<readonly Recording[]> = recordingsNow;
export const compared: ReadonlySignal<typeof comparedNow.value> = comparedNow;
/** What is being worked on, for people. */
export const busy: ReadonlySignal<string | undefined> = busyNow;

const answers = new Map<number, (answer: LedgerAnswer) => void>();
let nextAsk = 1;

onNews('ledger', ({ ask, answer }) => {
  answers.get(ask)?.(answer);
  answers.delete(ask);
});

function want(wish: LedgerWant): Promise<LedgerAnswer> {
  const ask = nextAsk++;
  return new Promise((resolve) => {
    answers.set(ask, resolve);
    tell('bench', { kind: 'ledger', ask, want: wish });
  });
}

/** Changes what is looked at, and looks at once. */
export function look(change: Partial<View>): void {
  viewNow.value = { ...viewNow.value, ...change };
  void lookNow();
}

/** Follows the ledger until it is stopped. */
export function followLedger(): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  let stopped = false;
  const next = async (): Promise<void> => {
    await lookNow();
    if (!stopped) timer = setTimeout(() => void next(), period);
  };
  void next();
  void listRecordings();
  return () => {
    stopped = true;
    clearTimeout(timer);
  };
}

async function lookNow(): Promise<void> {
  const asked = viewNow.value;
  const answer = await want({ kind: 'look', most: mostLines, ...asked });
  // An answer to what is no longer looked at would flicker.
  if (answer.kind === 'seen' && asked === viewNow.value) seenNow.value = answer.seen;
}

export async function listRecordings(): Promise<void> {
  const answer = await want({ kind: 'recordings' });
  if (answer.kind === 'recordings') recordingsNow.value = answer.recordings;
}

export async function deleteRecording(id: number): Promise<void> {
  told(await want({ kind: 'delete', id }));
  await listRecordings();
}

export async function exportRecording({ id, name, began }: Recording, format: ExportFormat): Promise<void> {
  const answer = await working('Exporting', want({ kind: 'export', id, format }));
  if (answer.kind !== 'exported') {
    told(answer);
    return;
  }
  const ending = {
    csv: 'csv',
    parquet: 'parquet',
    jsonl: 'values.jsonl',
    pcapng: 'pcapng',
    recording: 'session.jsonl',
  }[format];
  const stem = `${name} ${began}`.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
  download(`${stem}.${ending}`, answer.content);
}

export async function compareRecordings(first: Recording, second: Recording): Promise<void> {
  const answer = await working('Comparing', want({ kind: 'compare', first: first.id, second: second.id }));
  if (answer.kind !== 'compared') {
    told(answer);
    return;
  }
  comparedNow.value = {
    words: `${first.name}, ${showBegan(first)} (first) and ${showBegan(second)} (second)`,
    differences: answer.differences,
  };
}

export async function importRecording(file: File): Promise<void> {
  told(await working('Reading', want({ kind: 'import', name: file.name, text: await file.text() })));
  await listRecordings();
}

/** Plays a recording in place of the board. */
export async function playRecording(id: number, speed: number): Promise<void> {
  told(await working('Opening', want({ kind: 'replay', id, speed })));
  look({ to: undefined });
}

/** @param speed 0 pauses */
export async function changeSpeed(speed: number): Promise<void> {
  told(await want({ kind: 'replay-speed', speed }));
  await lookNow();
}

/** `12 Nov, 14:03:22`, in the user's own way. */
export function showBegan({ began }: Recording): string {
  const date = new Date(began);
  if (Number.isNaN(date.getTime())) return began;
  return date.toLocaleString(undefined, { dateStyle: 'medium', timeStyle: 'medium' });
}

async function working<T>(words: string, work: Promise<T>): Promise<T> {
  busyNow.value = words;
  try {
    return await work;
  } finally {
    busyNow.value = undefined;
  }
}

function told(answer: LedgerAnswer): void {
  if (answer.kind === 'refused') say('refused', answer.why);
}

function download(name: string, content: Uint8Array<ArrayBuffer>): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([content]));
  link.download = name;
  link.click();
  setTimeout(() => {
    URL.revokeObjectURL(link.href);
  }, 10_000);
}
