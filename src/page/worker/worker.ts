import { us } from '../../base/quantity.ts';
import { RealClock } from '../../links/real-clock.ts';
import type { Failure } from '../../att/link.ts';
import { BoardSession } from './board-session.ts';
import { chosenRig } from './chosen-rig.ts';
import { checkText, planText } from './check-text.ts';
import { modelBoard } from './model-board.ts';
import type { LedgerAnswer, LedgerWant } from './ledger-protocol.ts';
import { nextTurn } from './next-turn.ts';
import { observedSource } from './observed-source.ts';
import type { Proved } from './proof-session.ts';
import type { BoardWord, FromWorker, ToWorker } from './protocol.ts';
import type { RemoteConsole } from './remote-console.ts';
import type { PanelSession, ReplaySession } from './replay-session.ts';
import { SessionWatch } from './session-watch.ts';

/** What this file uses of a worker's global scope; the compiler knows the window's. */
type WorkerScope = {
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
  postMessage(message: FromWorker): void;
  addEventListener(type: 'error' | 'unhandledrejection', listener: (event: Event) => void): void;
};

const scope = globalThis as unknown as WorkerScope;
/** A laptop that was closed wakes to the board it left; a busy page is never a second late. */
const clock = new RealClock({ longestGap: us(2_000_000), catchUp: true });
let session: PanelSession | undefined;
/** What is seen of the session: its ledger and its recording. */
let watch: SessionWatch | undefined;
let replay: ReplaySession | undefined;
let remote: Promise<RemoteConsole> | undefined;
/** Counts the boards asked for: one that took longer to prepare must not take the place of a later one. */
let starts = 0;
let waitingCheck: Extract<ToWorker, { kind: 'check' }> | undefined;
let proof: { aborted: boolean } | undefined;
let proved: Proved | undefined;

function post(message: FromWorker): void {
  scope.postMessage(message);
}

scope.onmessage = ({ data }) => {
  void whole(handle(data));
};

/** Waits for work that should not fail, and tells the page when it did. */
async function whole(work: Promise<void>): Promise<void> {
  try {
    await work;
  } catch (error) {
    post({ kind: 'broken', message: error instanceof Error ? (error.stack ?? error.message) : String(error) });
  }
}

async function handle(message: ToWorker): Promise<void> {
  switch (message.kind) {
    case 'check':
      checkSoon(message);
      return;
    case 'start-board':
      return startBoard(message);
    case 'connect':
      return session?.connect(message.mtu);
    case 'drop':
      return session?.drop(message.how);
    case 'exchange-mtu':
      return answer(message.ask, (board) => board.exchangeMtu(message.mtu));
    case 'secure':
      return answer(message.ask, (board) => board.secure(message.on));
    case 'read':
      return answer(message.ask, (board) => board.read(message.index));
    case 'write':
      return answer(message.ask, (board) => board.write(message.index, message.value, message.response));
    case 'subscribe':
      return answer(message.ask, (board) => board.subscribe(message.index, message.mode));
    case 'type':
      session?.type(message.line);
      return;
    case 'prove':
      return prove(message);
    case 'stop-proof':
      if (proof !== undefined) proof.aborted = true;
      return;
    case 'budget': {
      const { reckonBudget } = await import('./budget-session.ts');
      return reckonBudget(message, post);
    }
    case 'report':
      return report(message);
    case 'console-lines':
      (await consoleOf()).take(message.lines);
      return;
    case 'ledger':
      post({ kind: 'ledger', ask: message.ask, answer: await ledgerAnswer(message.want) });
  }
}

/** The messages that wait are looked at first: of several checks only the newest is made. */
function checkSoon(message: Extract<ToWorker, { kind: 'check' }>): void {
  const isFirst = waitingCheck === undefined;
  waitingCheck = message;
  if (!isFirst) return;
  void whole(nextTurn().then(checkNewest));
}

async function checkNewest(): Promise<void> {
  if (waitingCheck === undefined) return;
  const { version, text } = waitingCheck;
  waitingCheck = undefined;
  const { value, findings } = await checkText(text);
  post({ kind: 'checked', version, compiled: value, findings });
}

async function startBoard({ text, seed, faults, made }: Extract<ToWorker, { kind: 'start-board' }>): Promise<void> {
  const mine = ++starts;
  const { value: plan, findings } = await planText(text);
  if (mine !== starts) return;
  if (plan === undefined) {
    post({ kind: 'board-refused', findings });
    return;
  }
  const world = await chosenRig(plan.table);
  const fault = faults.length === 0 ? undefined : (await import('./chosen-fault.ts')).chosenFault(faults);
  const options = { table: plan.table, world, fault, seed, clock };
  const source =
    made === 'model'
      ? { ok: true as const, open: modelBoard(options) }
      : made === 'serial'
        ? {
            ok: true as const,
            open: (await import('./serial-board.ts')).serialBoard(plan.table, await consoleOf(), clock),
          }
        : await (await import('./radio-board.ts')).radioBoard(made, options);
  if (mine !== starts) return;
  if (!source.ok) {
    post({ kind: 'board-unmade', why: source.why, remedy: source.remedy });
    return;
  }
  const { open } = source;
  endSession();
  const seen = new SessionWatch(
    {
      table: plan.table,
      contract: text,
      origin: { kind: 'board', link: linkNames[made] },
    },
    clock,
  );
  const observed = observedSource(open, plan.table, clock, (observation) => {
    seen.take(observation);
  });
  const next = new BoardSession({ plan, open: observed, clock, post });
  watch = seen;
  session = next;
  post({ kind: 'board-started', plan, text, faults, rig: next.rig, made, securable: next.securable });
  next.announce();
}

const linkNames: Readonly<Record<BoardWord, string>> = {
  model: 'virtual board',
  radio: 'virtual radio',
  engine: 'firmware by virtual radio',
  serial: 'console on a serial port',
};

/** The console of a real board; its lines may come before the board that they are of. */
function consoleOf(): Promise<RemoteConsole> {
  remote ??= makeConsole();
  return remote;
}

async function makeConsole(): Promise<RemoteConsole> {
  try {
    const { RemoteConsole: Made } = await import('./remote-console.ts');
    return new Made((line) => {
      post({ kind: 'console-send', line });
    });
  } catch (error) {
    remote = undefined;
    throw error;
  }
}

function endSession(): void {
  session?.stop();
  watch?.end();
  session = undefined;
  watch = undefined;
  replay = undefined;
}

async function ledgerAnswer(want: LedgerWant): Promise<LedgerAnswer> {
  if (want.kind === 'replay-speed') {
    replay?.go(want.speed);
    return { kind: 'done' };
  }
  try {
    if (want.kind === 'replay') return await startReplay(want.id, want.speed);
    const answer = await watch?.answer(want);
    if (answer === undefined) return { kind: 'refused', why: 'No board is running.' };
    return answer.kind === 'seen' ? { ...answer, seen: { ...answer.seen, replay: replay?.state } } : answer;
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return { kind: 'refused', why: `The ledger could not be fetched or kept: ${why}.` };
  }
}

async function startReplay(id: number, speed: number): Promise<LedgerAnswer> {
  const mine = ++starts;
  const { openReplay, ReplaySession: Player } = await import('./replay-session.ts');
  const opened = await openReplay(id);
  if (opened === undefined) return { kind: 'refused', why: 'The recording cannot be read.' };
  if (mine !== starts) return { kind: 'done' };
  endSession();
  const { plan, contract, observations } = opened;
  const seen = new SessionWatch({ table: plan.table, contract, origin: { kind: 'replay', id } }, clock);
  const next = new Player(plan.table, observations, speed, clock, post, (observation) => {
    seen.take(observation);
  });
  watch = seen;
  session = next;
  replay = next;
  post({
    kind: 'board-started',
    plan,
    text: contract,
    faults: [],
    rig: 'default',
    made: 'model',
    securable: false,
    replayed: true,
  });
  next.announce();
  return { kind: 'done' };
}

async function answer(ask: number, act: (board: PanelSession) => Promise<Failure | undefined>): Promise<void> {
  const board = session;
  const failure =
    board === undefined ? { kind: 'not-reachable' as const, about: 'no board is running' } : await act(board);
  board?.flush();
  post({ kind: 'answer', ask, failure });
}

async function prove(message: Extract<ToWorker, { kind: 'prove' }>): Promise<void> {
  if (proof !== undefined) proof.aborted = true;
  const signal = { aborted: false };
  proof = signal;
  const { run, text, only, faults } = message;
  const { proveContract } = await import('./proof-session.ts');
  // The report is of the newest proof only.
  proved = undefined;
  const result = await proveContract({ text, only, faults }, signal, (news) => {
    // A proof that was begun again has nothing more to say.
    if (proof === signal) post({ kind: 'proof', run, news });
  });
  if (proof === signal) proved = result;
}

async function report({ ask, form, name }: Extract<ToWorker, { kind: 'report' }>): Promise<void> {
  const made = proved;
  const text = made === undefined ? undefined : (await import('./write-report.ts')).writeReport(made, form, name);
  post({ kind: 'reported', ask, text });
}
