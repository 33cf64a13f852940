import { equalBytes, type Bytes } from '../base/bytes.ts';
import { bug } from '../base/bug.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { seededRandom, type Random } from '../base/random.ts';
import { attServer, nextServerDeadline } from '../att/server.ts';
import type { ConnectionId, ServerEffect, ServerEvent, ServerOptions } from '../att/server-model.ts';
import type { Handle, Table, ValueDefinition } from '../table/model.ts';
import { observe } from './access.ts';
import { printConsoleLine, type ConsoleLine, type ConsoleNote } from './console.ts';
import { disarmFailsafe, dueFailsafes } from './failsafe.ts';
import type { BoardEffect, BoardState, Cause, LastAccess, Publication, Rig } from './model.ts';
import { afterChange, afterPublishing, afterSending, afterSubscription, atRest, dueTime } from './policy.ts';
import type { WorldMaker } from './rig-world.ts';
import { boardMs, isSubscribed, subscriptionWord } from './view.ts';

/** What stays the same as long as a board runs. */
export type BoardSetup = {
  readonly table: Table;
  readonly serverOptions: ServerOptions;
  readonly rig: Rig<unknown> | undefined;
  readonly world: WorldMaker;
  readonly seed: number;
  /** Connections at once. */
  readonly clients: number;
  readonly byHandle: ReadonlyMap<Handle, number>;
};

/** Steps of the rig made up for in one event when time came late; the rest follows in the next ones. */
const mostRigSteps = 1000;

/** The random numbers of one step of the rig: step 0 is its start. The odd factor keeps the streams of steps apart. */
export function rigRandom(seed: number, step: number): Random {
  return seededRandom((seed ^ Math.imul(step, 0x85eb_ca77)) >>> 0);
}

/**
 * One step of the board under way: the state as far as it has come and the effects so far. It lives for one call of the
 * reducer.
 */
export class Turn {
  readonly effects: BoardEffect[] = [];
  readonly setup: BoardSetup;
  readonly at: Microseconds;
  state: BoardState;

  constructor(setup: BoardSetup, state: BoardState, at: Microseconds) {
    this.setup = setup;
    this.state = state;
    this.at = at;
  }

  get ms(): number {
    return boardMs(this.state, this.at);
  }

  print(line: ConsoleLine): void {
    this.effects.push({ kind: 'print', line: printConsoleLine(line) });
  }

  note(event: ConsoleNote): void {
    this.print({ kind: 'note', ms: this.ms, event });
  }

  tell(index: number, value: Bytes, cause: Cause): void {
    if (this.state.telling) this.print({ kind: 'tell', ms: this.ms, id: this.#definition(index).id, value, cause });
  }

  /** The board changes its own truth. Nothing happens when the value is the same already. */
  setValue(index: number, value: Bytes, cause: Cause): void {
    const now = this.state.server.values[index];
    if (now !== undefined && equalBytes(now, value)) return;
    this.serve({ kind: 'set', index, value });
    this.#changed(index, value, cause);
  }

  startRig(): void {
    const { rig, seed } = this.setup;
    if (rig === undefined) return;
    bug(rig.every > 0, 'a rig needs time between its steps');
    this.#guardRig(() => {
      this.state = { ...this.state, rig: rig.start(rigRandom(seed, 0)), nextRigStep: us(this.at + rig.every) };
    });
  }

  /** Lets the attribute server work on an event and carries out what comes of it. */
  serve(event: ServerEvent): void {
    const { table, serverOptions } = this.setup;
    // What was told last, so that several writes of one request tell each change once.
    const truth = event.kind === 'received' ? [...this.state.server.values] : [];
    const { state, effects } = attServer(table, serverOptions, this.state.server, event, this.at);
    this.state = { ...this.state, server: state };
    for (const effect of effects) this.#carryOut(effect, truth);
  }

  /** Everything that is due by now. */
  runDue(): void {
    for (const index of dueFailsafes(this.state.failsafes, this.at)) {
      this.state = { ...this.state, failsafes: disarmFailsafe(this.state.failsafes, index) };
      const { onLinkLoss } = this.#definition(index);
      if (onLinkLoss.kind === 'set') this.setValue(index, onLinkLoss.raw, 'failsafe');
    }
    for (let i = 0; i < mostRigSteps && isDue(this.state.nextRigStep, this.at); i++) this.#stepRig();
    if (isDue(nextServerDeadline(this.setup.serverOptions, this.state.server), this.at)) this.serve({ kind: 'time' });
    this.#publishDue();
  }

  /** After a connection came or went or its subscriptions changed. */
  refreshPublications(): void {
    this.#updatePublications((publication, definition) =>
      definition.notify === undefined
        ? publication
        : afterSubscription(publication, definition.notify, isSubscribed(this.state, definition), this.at),
    );
  }

  wakeAt(): Microseconds | undefined {
    const times = [
      this.state.nextRigStep,
      nextServerDeadline(this.setup.serverOptions, this.state.server),
      ...this.state.failsafes.values(),
    ];
    for (const { index, notify } of this.setup.table.values) {
      if (notify !== undefined) times.push(dueTime(this.#publication(index), notify));
    }
    const known = times.filter((time) => time !== undefined);
    return known.length === 0 ? undefined : us(Math.min(...known));
  }

  #carryOut(effect: ServerEffect, truth: Bytes[]): void {
    switch (effect.kind) {
      case 'send':
        this.effects.push(effect);
        this.#watch(effect.connection, effect.pdu);
        break;
      case 'close':
        this.effects.push(effect);
        break;
      case 'written':
        this.#accessed(effect.index, 'written');
        this.#disarm(effect.index);
        if (!equalBytes(truth[effect.index] ?? effect.value, effect.value)) {
          truth[effect.index] = effect.value;
          this.#changed(effect.index, effect.value, 'air');
        }
        break;
      case 'read':
        this.#accessed(effect.index, 'read');
        break;
      case 'subscription': {
        const mode = subscriptionWord((effect.notify ? 1 : 0) | (effect.indicate ? 2 : 0));
        const { id } = this.#definition(effect.index);
        this.note({ kind: 'subscribed', client: effect.connection, id, mode });
        this.refreshPublications();
        break;
      }
      case 'confirmed':
        break;
    }
  }

  #watch(client: ConnectionId, pdu: Bytes): void {
    for (const seen of observe(pdu, this.setup.byHandle)) {
      const { id } = this.#definition(seen.index);
      if (seen.kind === 'refused') {
        this.note({ kind: 'refused', client, id, access: seen.access, code: seen.code });
      } else {
        this.#accessed(seen.index, seen.how);
        this.#updatePublication(seen.index, (publication) => afterSending(publication, this.at));
      }
    }
  }

  #changed(index: number, value: Bytes, cause: Cause): void {
    this.tell(index, value, cause);
    const definition = this.#definition(index);
    const { notify } = definition;
    if (notify === undefined) return;
    const subscribed = isSubscribed(this.state, definition);
    this.#updatePublication(index, (publication) => afterChange(publication, notify, subscribed));
  }

  #disarm(index: number): void {
    if (!this.state.failsafes.has(index)) return;
    this.state = { ...this.state, failsafes: disarmFailsafe(this.state.failsafes, index) };
    this.note({ kind: 'disarmed', id: this.#definition(index).id });
  }

  #stepRig(): void {
    const { rig, seed } = this.setup;
    if (rig === undefined) return;
    const steps = this.state.rigSteps + 1;
    const due = this.state.nextRigStep ?? this.at;
    this.state = { ...this.state, rigSteps: steps, nextRigStep: us(due + rig.every) };
    const world = this.setup.world(
      {
        get: (index) => this.state.server.values[index] ?? this.#definition(index).start,
        set: (index, value) => {
          this.setValue(index, value, 'rig');
        },
      },
      () => rigRandom(seed, steps),
    );
    this.#guardRig(() => {
      const next = rig.step(this.state.rig, world, us(due - this.state.startedAt));
      this.state = { ...this.state, rig: next };
    });
  }

  /** A rig is the user's own program: its mistake stops it, and must not take the board down. */
  #guardRig(run: () => void): void {
    try {
      run();
    } catch (error) {
      this.state = { ...this.state, nextRigStep: undefined };
      this.note({ kind: 'rig-stopped', message: error instanceof Error ? error.message : String(error) });
    }
  }

  /** All values due at one time go out together, so that a client which can takes them in one PDU. */
  #publishDue(): void {
    const due = this.setup.table.values.filter(
      ({ index, notify }) => notify !== undefined && isDue(dueTime(this.#publication(index), notify), this.at),
    );
    if (due.length === 0) return;
    this.serve({ kind: 'publish-together', indices: due.map(({ index }) => index) });
    for (const { index, notify } of due) {
      if (notify === undefined) continue;
      this.#updatePublication(index, (publication) => afterPublishing(publication, notify, this.at));
    }
  }

  #accessed(index: number, how: LastAccess['how']): void {
    const lastAccess = [...this.state.lastAccess];
    lastAccess[index] = { at: this.at, how };
    this.state = { ...this.state, lastAccess };
  }

  #publication(index: number): Publication {
    return this.state.publications[index] ?? atRest;
  }

  #updatePublication(index: number, update: (publication: Publication) => Publication): void {
    const before = this.#publication(index);
    const after = update(before);
    if (after === before) return;
    const publications = [...this.state.publications];
    publications[index] = after;
    this.state = { ...this.state, publications };
  }

  #updatePublications(update: (publication: Publication, definition: ValueDefinition) => Publication): void {
    const publications = this.setup.table.values.map((definition) =>
      update(this.#publication(definition.index), definition),
    );
    this.state = { ...this.state, publications };
  }

  #definition(index: number): ValueDefinition {
    const definition = this.setup.table.values[index];
    bug(definition !== undefined, `no value ${index}`);
    return definition;
  }
}

function isDue(time: Microseconds | undefined, at: Microseconds): boolean {
  return time !== undefined && time <= at;
}
