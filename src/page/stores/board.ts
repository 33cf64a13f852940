import { batch, computed, signal, type ReadonlySignal } from '@preact/signals';
import type { Finding } from '../../base/finding.ts';
import type { Failure } from '../../att/link.ts';
import type { BoardPlan } from '../worker/board-plan.ts';
import type { BoardWord, DropWord, LinkState, RigWord } from '../worker/protocol.ts';
import { contractText } from './contract.ts';
import { ask, onNews, tell } from './port.ts';
import { say } from './words.ts';

/** The board that runs. */
export type RunningBoard = {
  /** Counts boards: what was seen of one says nothing of the next. */
  readonly number: number;
  readonly plan: BoardPlan;
  /** The contract's text it was made from. */
  readonly text: string;
  /** Names of the faults planted in it. */
  readonly faults: readonly string[];
  readonly rig: RigWord;
  readonly made: BoardWord;
  /** The link's security can be set as pairing would. */
  readonly securable: boolean;
  /** It is a recording that is played again. */
  readonly replayed?: true;
};

const boardNow = signal<RunningBoard | undefined>(undefined);
const refusedNow = signal<{ readonly text: string; readonly findings: readonly Finding[] } | undefined>(undefined);
let startedText = '';
const linkNow = signal<LinkState>({ kind: 'silent' });
const mtuWished = signal<number | undefined>(undefined);
const plantedNow = signal<readonly string[]>([]);
const madeOfNow = signal<BoardWord>('model');
let connectWhenStarted = false;

export const board: ReadonlySignal<RunningBoard | undefined> = boardNow;

/** Why a start of exactly this text was refused: the contract's errors. `undefined` when it was not, or not tried. */
export const startRefused: ReadonlySignal<readonly Finding[] | undefined> = computed(() =>
  refusedNow.value?.text === contractText.value ? refusedNow.value.findings : undefined,
);

/** Names of the faults that the user has planted: those of the next board, which the running one has if it started. */
export const planted: ReadonlySignal<readonly string[]> = plantedNow;

/** What the user wants the board to be made of: the next one, and the running one if it started. */
export const madeOf: ReadonlySignal<BoardWord> = madeOfNow;

export const link: ReadonlySignal<LinkState> = linkNow;

export const isConnected: ReadonlySignal<boolean> = computed(() => linkNow.value.kind === 'connected');

/** There is an open link whose security can be set. */
export const canEncrypt: ReadonlySignal<boolean> = computed(
  () => linkNow.value.kind === 'connected' && !linkNow.value.encrypted && boardNow.value?.securable === true,
);

/** The running board is of an older text than the editor's. */
export const isOlder: ReadonlySignal<boolean> = computed(
  () => boardNow.value !== undefined && boardNow.value.text !== contractText.value,
);

/** MTU that is asked for when connecting; the contract's unless the user chose another. Octets, 23..517. */
export const mtuToAsk: ReadonlySignal<number> = computed(
  () => mtuWished.value ?? boardNow.value?.plan.table.radio.connection.mtu ?? 23,
);

/**
 * Starts a board for the text as it stands, in place of the one that runs; a text with errors is refused and the old
 * board runs on.
 *
 * @param options `faults`: names of planted faults from now on, default those planted already; `made`: what of, default as
 *   before; `connect`: connect at once, default when there is a connection now
 */
export function restartBoard(
  options: { readonly faults?: readonly string[]; readonly made?: BoardWord; readonly connect?: boolean } = {},
): void {
  const wished = options.made ?? madeOfNow.value;
  // The engine and a real board are what they are: faults are planted in the model only.
  const faults = options.faults ?? (wished === 'engine' || wished === 'serial' ? [] : plantedNow.value);
  const made = (wished === 'engine' || wished === 'serial') && faults.length > 0 ? 'model' : wished;
  const { connect = linkNow.value.kind === 'connected' } = options;
  plantedNow.value = faults;
  madeOfNow.value = made;
  connectWhenStarted = connect;
  startedText = contractText.value;
  // A seed of its own makes the world look alike at each start: what changed is the contract.
  tell('bench', { kind: 'start-board', text: startedText, seed: 1, faults, made });
}

/** Connects, or connects again after a drop: waits until the board has noticed a loss. */
export function connect(): void {
  tell('bench', { kind: 'connect', mtu: mtuToAsk.value });
}

/** `lose` (default) breaks the radio link, `terminate` leaves with a goodbye. */
export function dropLink(how: DropWord = 'lose'): void {
  tell('bench', { kind: 'drop', how });
}

/**
 * Asks for this MTU: now if there is a connection, and at each connection from now on.
 *
 * @param mtu octets, held within 23..517
 */
export async function exchangeMtu(mtu: number): Promise<Failure | undefined> {
  const whole = Math.min(517, Math.max(23, Math.round(mtu)));
  mtuWished.value = whole;
  if (!isConnected.value) return undefined;
  return ask((number) => ({ kind: 'exchange-mtu', ask: number, mtu: whole }));
}

/** Plays pairing's part: the link is encrypted and authenticated, or open again. */
export function encrypt(on: boolean): Promise<Failure | undefined> {
  return ask((number) => ({ kind: 'secure', ask: number, on }));
}

onNews('board-started', ({ plan, text, faults, rig, made, securable, replayed }) => {
  batch(() => {
    boardNow.value = {
      number: (boardNow.value?.number ?? 0) + 1,
      plan,
      text,
      faults,
      rig,
      made,
      securable,
      ...(replayed && { replayed }),
    };
    refusedNow.value = undefined;
    mtuWished.value = undefined;
    linkNow.value = { kind: 'silent' };
  });
});

onNews('board-unmade', ({ why, remedy }) => {
  madeOfNow.value = boardNow.value?.made ?? 'model';
  say('refused', `The firmware cannot serve this contract: ${why}.`, remedy);
});

onNews('board-refused', ({ findings }) => {
  refusedNow.value = { text: startedText, findings };
});

onNews('link', ({ state }) => {
  linkNow.value = state;
  if (state.kind !== 'advertising' || !connectWhenStarted) return;
  connectWhenStarted = false;
  connect();
});
