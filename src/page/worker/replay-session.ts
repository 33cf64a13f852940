import type { Clock } from '../../base/clock.ts';
import type { Failure } from '../../att/link.ts';
import { parseConsoleLine } from '../../board/console.ts';
import type { Observation } from '../../ledger/observation.ts';
import { Replay } from '../../ledger/replay.ts';
import type { Table } from '../../table/model.ts';
import { Batcher } from './batcher.ts';
import type { BoardPlan } from './board-plan.ts';
import type { BoardSession } from './board-session.ts';
import type { ReplayState } from './ledger-protocol.ts';
import type { FromWorker, LinkState } from './protocol.ts';
import { readRecording } from './recording-acts.ts';
import { Recordings } from './recordings.ts';

/** What the panel asks of whatever runs behind it. */
export type PanelSession = Pick<
  BoardSession,
  | 'announce'
  | 'stop'
  | 'connect'
  | 'drop'
  | 'exchangeMtu'
  | 'secure'
  | 'read'
  | 'write'
  | 'subscribe'
  | 'type'
  | 'flush'
>;

export type OpenedReplay = {
  readonly plan: BoardPlan;
  readonly contract: string;
  readonly observations: readonly Observation[];
};

/** Reads a recording of this browser; `undefined` when it cannot be read. */
export async function openReplay(id: number): Promise<OpenedReplay | undefined> {
  const recordings = await Recordings.open();
  const observations: Observation[] = [];
  const opened = await readRecording(
    recordings,
    id,
    () => undefined,
    (observation) => observations.push(observation),
  );
  return opened === undefined ? undefined : { plan: opened.plan, contract: opened.head.contract, observations };
}

const past: Failure = { kind: 'not-reachable', about: 'this is a recording: what happened cannot be changed' };

/** A recording in place of a board: the panel shows what it showed then, and takes no acts. */
export class ReplaySession implements PanelSession {
  readonly #post: (message: FromWorker) => void;
  readonly #replay: Replay;
  readonly #batcher: Batcher;
  readonly #length: number;
  readonly #speed: number;
  readonly #indexById: ReadonlyMap<string, number>;
  readonly #subscribed = new Map<number, number>();
  #state: LinkState = { kind: 'advertising' };
  #stamp = { ms: 0, at: 0 };
  #shownSpeed: number;

  /** @param onObserved called for each observation as it is played */
  constructor(
    table: Table,
    observations: readonly Observation[],
    speed: number,
    clock: Clock,
    post: (message: FromWorker) => void,
    onObserved: (observation: Observation) => void,
  ) {
    this.#post = post;
    this.#speed = speed;
    this.#shownSpeed = speed;
    this.#length = observations.at(-1)?.at ?? 0;
    this.#indexById = new Map(table.values.map(({ id, index }) => [id, index]));
    this.#replay = new Replay(observations, clock, (observation) => {
      onObserved(observation);
      this.#play(observation);
    });
    this.#batcher = new Batcher(
      clock,
      (batch) => {
        post({ kind: 'happened', batch });
      },
      () => ({ boardMs: this.#ms(this.#replay.now), subscriptions: [...this.#subscribed], rig: undefined }),
    );
  }

  get state(): ReplayState {
    return { speed: this.#replay.isRunning ? this.#shownSpeed : 0, isOver: this.#replay.isOver, length: this.#length };
  }

  announce(): void {
    this.#post({ kind: 'link', state: this.#state });
    this.#replay.start(this.#speed);
  }

  /** @param speed 0 pauses */
  go(speed: number): void {
    this.#shownSpeed = speed;
    if (speed === 0) this.#replay.pause();
    else this.#replay.start(speed);
  }

  stop(): void {
    this.#replay.pause();
    this.#batcher.stop();
  }

  flush(): void {
    this.#batcher.flush();
  }

  connect(): Promise<void> {
    return Promise.resolve();
  }

  drop(): Promise<void> {
    return Promise.resolve();
  }

  exchangeMtu(): Promise<Failure> {
    return Promise.resolve(past);
  }

  secure(): Promise<Failure> {
    return Promise.resolve(past);
  }

  read(): Promise<Failure> {
    return Promise.resolve(past);
  }

  write(): Promise<Failure> {
    return Promise.resolve(past);
  }

  subscribe(): Promise<Failure> {
    return Promise.resolve(past);
  }

  type(): void {
    // The console of then takes no lines.
  }

  /** The board's clock at a time of the session. */
  #ms(at: number): number {
    return Math.max(0, Math.floor(this.#stamp.ms + (at - this.#stamp.at) / 1000));
  }

  #play(observation: Observation): void {
    switch (observation.kind) {
      case 'printed':
        this.#printed(observation.line, observation.at);
        return;
      case 'typed':
      case 'refused':
        return;
      case 'connected':
        this.#show({ kind: 'connected', mtu: observation.mtu ?? 23, encrypted: false, hash: 'unread' });
        return;
      case 'disconnected':
        this.#subscribed.clear();
        this.#show({ kind: 'advertising' });
        return;
      case 'packet': {
        const { from, pdu, at } = observation;
        this.#batcher.pdu({ at, from, pdu });
        return;
      }
      case 'subscribed': {
        const index = this.#indexById.get(observation.id);
        if (index === undefined) return;
        if (observation.mode === 'off') this.#subscribed.delete(index);
        else this.#subscribed.set(index, observation.mode === 'notify' ? 1 : 2);
        return;
      }
      case 'read':
      case 'written':
      case 'notified':
      case 'indicated': {
        const index = this.#indexById.get(observation.id);
        if (index === undefined) return;
        this.#batcher.air({ index, ms: this.#ms(observation.at), raw: observation.value, how: observation.kind });
      }
    }
  }

  #printed(line: string, at: number): void {
    this.#batcher.line(line);
    const parsed = parseConsoleLine(line);
    if (parsed === undefined || !('ms' in parsed)) return;
    this.#stamp = { ms: parsed.ms, at };
    if (parsed.kind !== 'tell' && parsed.kind !== 'value') return;
    const index = this.#indexById.get(parsed.id);
    const cause = parsed.kind === 'tell' ? parsed.cause : 'start';
    if (index !== undefined) this.#batcher.truth({ index, ms: parsed.ms, raw: parsed.value, cause });
  }

  #show(state: LinkState): void {
    this.#state = state;
    this.#post({ kind: 'link', state });
  }
}
