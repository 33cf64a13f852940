import type { Failure } from '../../att/link.ts';
import type { FromWorker, ReportForm, ToWorker } from '../worker/protocol.ts';

/** One worker as the stores see it. A test puts a plain object in its place. */
export type WorkerPort = {
  post(message: ToWorker): void;
  onMessage(listener: (message: FromWorker) => void): void;
};

/**
 * `bench`: checks and the running board. `prover`: proofs, and `reckoner`: budgets, so that neither holds the board up.
 */
export type PortName = 'bench' | 'prover' | 'reckoner';

type Kind = FromWorker['kind'];
type News<K extends Kind> = Extract<FromWorker, { kind: K }>;

const ports = new Map<PortName, WorkerPort>();
const makers = new Map<PortName, () => WorkerPort>();
const listeners = new Map<Kind, ((message: never) => void)[]>();
const answers = new Map<number, (failure: Failure | undefined) => void>();
const reports = new Map<number, (text: string | undefined) => void>();
let nextAsk = 1;

/** Says how a worker is made; it is made when it is first told something. */
export function provideWorker(name: PortName, make: () => WorkerPort): void {
  makers.set(name, make);
  ports.delete(name);
}

/** Without a worker (before the page has started) nothing happens. */
export function tell(name: PortName, message: ToWorker): void {
  portOf(name)?.post(message);
}

/** Called for each message of this kind, in the order listened. */
export function onNews<K extends Kind>(kind: K, listener: (message: News<K>) => void): void {
  const list = listeners.get(kind) ?? [];
  list.push(listener);
  listeners.set(kind, list);
}

/** Tells the board's worker of an act, and gives how it ended: `undefined` for well. */
export function ask(message: (ask: number) => ToWorker): Promise<Failure | undefined> {
  const number = nextAsk++;
  return new Promise((resolve) => {
    answers.set(number, resolve);
    tell('bench', message(number));
  });
}

/** The text of a report on the last proof; `undefined` when there is none. */
export function askReport(form: ReportForm, name: string): Promise<string | undefined> {
  const number = nextAsk++;
  return new Promise((resolve) => {
    reports.set(number, resolve);
    tell('prover', { kind: 'report', ask: number, form, name });
  });
}

function portOf(name: PortName): WorkerPort | undefined {
  const known = ports.get(name);
  if (known !== undefined) return known;
  const port = makers.get(name)?.();
  if (port === undefined) return undefined;
  ports.set(name, port);
  port.onMessage(take);
  return port;
}

function take(message: FromWorker): void {
  if (message.kind === 'answer') settle(answers, message.ask, message.failure);
  if (message.kind === 'reported') settle(reports, message.ask, message.text);
  for (const listener of listeners.get(message.kind) ?? []) listener(message as never);
}

function settle<T>(waiting: Map<number, (value: T) => void>, ask: number, value: T): void {
  waiting.get(ask)?.(value);
  waiting.delete(ask);
}
