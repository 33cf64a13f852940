import type { Microseconds } from '../base/quantity.ts';
import { defaultServerOptions, startServer } from '../att/server.ts';
import type { ConnectionId } from '../att/server-model.ts';
import type { Table } from '../table/model.ts';
import { indexByHandle } from './access.ts';
import { runConsoleLine } from './console-answer.ts';
import { armFailsafes, noFailsafes } from './failsafe.ts';
import type { BoardEvent, BoardReducer, BoardState, BoardStep, Rig } from './model.ts';
import { atRest } from './policy.ts';
import { worldOf } from './rig-world.ts';
import { Turn, type BoardSetup } from './turn.ts';
import { boardMs, securityWord } from './view.ts';

export type BoardOptions = {
  /** `undefined`: a world that stands still. */
  readonly rig: Rig<unknown> | undefined;
  /** A whole number, 0..2^32-1. */
  readonly seed: number;
  /** Connections at once; the board advertises while there is room for one more. Default 4. */
  readonly clients?: number;
};

/**
 * The virtual board as a reducer. Table, rig, seed and events determine everything it does; it reads no clock. Events
 * that make no sense (octets on a connection that is gone) change nothing.
 */
export function boardReducer(table: Table, options: BoardOptions): BoardReducer {
  const setup: BoardSetup = {
    table,
    serverOptions: defaultServerOptions(table),
    rig: options.rig,
    world: worldOf(table),
    seed: options.seed,
    clients: options.clients ?? 4,
    byHandle: indexByHandle(table),
  };
  return {
    start(at) {
      const turn = new Turn(setup, powerUp(table, at), at);
      turn.note({ kind: 'start', hash: table.databaseHash.specification });
      for (const { index, start } of table.values) turn.tell(index, start, 'start');
      turn.startRig();
      advertise(turn, true);
      turn.runDue();
      return finish(turn);
    },
    step(state, event, at) {
      const turn = new Turn(setup, state, at);
      take(turn, event);
      turn.runDue();
      return finish(turn);
    },
  };
}

function powerUp(table: Table, at: Microseconds): BoardState {
  return {
    server: startServer(table),
    startedAt: at,
    rig: undefined,
    rigSteps: 0,
    publications: table.values.map(() => atRest),
    failsafes: noFailsafes,
    clients: new Map(),
    advertising: false,
    lastAccess: table.values.map(() => undefined),
    nextRigStep: undefined,
    telling: true,
  };
}

function finish(turn: Turn): BoardStep {
  return { state: turn.state, effects: turn.effects, wakeAt: turn.wakeAt() };
}

function take(turn: Turn, event: BoardEvent): void {
  switch (event.kind) {
    case 'connected':
      connected(turn, event.connection, event.peer);
      break;
    case 'disconnected':
      disconnected(turn, event.connection, event.how);
      break;
    case 'received':
      if (turn.state.clients.has(event.connection)) turn.serve(event);
      break;
    case 'security':
      if (!turn.state.clients.has(event.connection)) break;
      turn.serve(event);
      turn.note({ kind: 'secured', client: event.connection, security: securityWord(event.security) });
      turn.refreshPublications();
      break;
    case 'typed':
      runConsoleLine(turn, event.line);
      break;
    case 'time':
      break;
  }
}

function connected(turn: Turn, connection: ConnectionId, peer: string): void {
  const { clients } = turn.state;
  if (clients.has(connection)) return;
  if (clients.size >= turn.setup.clients) {
    turn.effects.push({ kind: 'close', connection, why: 'no room for another client' });
    return;
  }
  turn.state = { ...turn.state, clients: new Map([...clients, [connection, { peer, since: turn.at }]]) };
  turn.note({ kind: 'connected', client: connection, peer });
  turn.serve({ kind: 'connected', connection, peer });
  turn.refreshPublications();
  advertise(turn, turn.state.clients.size < turn.setup.clients);
}

function disconnected(turn: Turn, connection: ConnectionId, how: 'lost' | 'terminated'): void {
  if (!turn.state.clients.has(connection)) return;
  const clients = new Map(turn.state.clients);
  clients.delete(connection);
  turn.state = { ...turn.state, clients };
  turn.note({ kind: 'disconnected', client: connection, how });
  turn.serve({ kind: 'disconnected', connection });
  turn.refreshPublications();
  if (clients.size === 0) arm(turn);
  advertise(turn, true);
}

function arm(turn: Turn): void {
  const before = turn.state.failsafes;
  const failsafes = armFailsafes(turn.setup.table.values, before, turn.at);
  turn.state = { ...turn.state, failsafes };
  for (const { index, id } of turn.setup.table.values) {
    const deadline = failsafes.get(index);
    if (deadline === undefined || before.has(index)) continue;
    turn.note({ kind: 'armed', id, due: boardMs(turn.state, deadline) });
  }
}

function advertise(turn: Turn, on: boolean): void {
  if (turn.state.advertising === on) return;
  turn.state = { ...turn.state, advertising: on };
  turn.effects.push({ kind: 'advertise', on });
  turn.note({ kind: 'advertising', on });
}
