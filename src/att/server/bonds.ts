import { equalBytes } from '../../base/bytes.ts';
import { clientConfiguration } from '../../numbers/properties.ts';
import type { Handle } from '../../table/model.ts';
import { openLink, type LinkSecurity } from '../link.ts';
import { defaultMtu } from '../pdu/model.ts';
import type {
  BondMemory,
  ConnectionId,
  HandleRange,
  ServerConnection,
  ServerState,
  ServerStep,
} from '../server-model.ts';
import { union } from './caching.ts';
import { configurationOf, subscriptionEffects } from './cccd.ts';
import { nothing, patchConnection, type Surroundings } from './context.ts';
import { noFeatures } from './features.ts';
import { enqueueIndication, sendNextIndication, unconfirmedChange } from './indicate.ts';

/**
 * A new connection. A peer with a bond finds its CCCDs and features as it left them, and is told of what changed
 * meanwhile; any other starts afresh and knows the database, for it has none of its own yet. Core Vol 3 Part G 2.5.2.
 */
export function connect(around: Surroundings, state: ServerState, id: ConnectionId, peer: string): ServerStep {
  const memory = state.bonds.get(peer);
  const fresh: ServerConnection = {
    peer,
    mtu: defaultMtu,
    mtuExchanged: false,
    security: openLink,
    cccds: new Map(),
    prepared: [],
    indicating: undefined,
    indicationQueue: [],
    clientFeatures: noFeatures,
    changeAware: 'aware',
    dead: false,
  };
  if (memory === undefined) {
    return { state: { ...state, connections: new Map(state.connections).set(id, fresh) }, effects: nothing };
  }
  const sameDatabase = equalBytes(memory.databaseHash, around.table.databaseHash.onAir);
  const cccds = sameDatabase ? memory.cccds : serviceChangedOnly(around, memory.cccds);
  const restored: ServerConnection = {
    ...fresh,
    cccds,
    clientFeatures: memory.clientFeatures,
    changeAware: sameDatabase ? memory.changeAware : 'unaware',
  };
  const change = sameDatabase ? memory.serviceChanged : { start: 0x0001, end: 0xffff };
  const connected = { ...state, connections: new Map(state.connections).set(id, restored) };
  const told = change === undefined ? { state: connected, effects: nothing } : tell(around, connected, id, change);
  return { state: told.state, effects: [...subscriptions(around, id, cccds), ...told.effects] };
}

/** Forgets a connection, but keeps what a bond keeps. */
export function disconnect({ table }: Surroundings, state: ServerState, id: ConnectionId): ServerState {
  const connection = state.connections.get(id);
  if (connection === undefined) return state;
  const connections = new Map(state.connections);
  connections.delete(id);
  const bonded = connection.security.bonded || state.bonds.has(connection.peer);
  if (!bonded) return { ...state, connections };
  const memory: BondMemory = {
    cccds: connection.cccds,
    clientFeatures: connection.clientFeatures,
    changeAware: connection.changeAware === 'aware' ? 'aware' : 'unaware',
    databaseHash: table.databaseHash.onAir,
    serviceChanged: unconfirmedChange(connection),
  };
  return { ...state, connections, bonds: new Map(state.bonds).set(connection.peer, memory) };
}

/** The link's security changed. What waited for it is sent. */
export function secure(around: Surroundings, state: ServerState, id: ConnectionId, security: LinkSecurity): ServerStep {
  const connection = state.connections.get(id);
  if (connection === undefined) return { state, effects: nothing };
  let next = patchConnection(state, id, { security });
  if (connection.security.bonded && !security.bonded) {
    const bonds = new Map(state.bonds);
    bonds.delete(connection.peer);
    next = { ...next, bonds };
  }
  return sendNextIndication(around, next, id);
}

/** Nobody knows the database between these handles any more: neither who is connected nor who has a bond. */
export function databaseChanged(around: Surroundings, state: ServerState, range: HandleRange): ServerStep {
  const bonds = new Map<string, BondMemory>();
  for (const [peer, memory] of state.bonds) {
    bonds.set(peer, { ...memory, changeAware: 'unaware', serviceChanged: union(memory.serviceChanged, range) });
  }
  let step: ServerStep = { state: { ...state, bonds }, effects: nothing };
  for (const id of state.connections.keys()) {
    const told = tell(around, patchConnection(step.state, id, { changeAware: 'unaware' }), id, range);
    step = { state: told.state, effects: [...step.effects, ...told.effects] };
  }
  return step;
}

/** Indicates Service Changed to a client that subscribed to it. */
function tell(around: Surroundings, state: ServerState, id: ConnectionId, range: HandleRange): ServerStep {
  const connection = state.connections.get(id);
  const { index } = around;
  if (connection === undefined || index.serviceChanged === undefined) return { state, effects: nothing };
  const bits = configurationOf(index, connection, index.serviceChanged.handle);
  if ((bits & clientConfiguration.indicate) === 0) return { state, effects: nothing };
  return sendNextIndication(around, enqueueIndication(state, id, { ...range, kind: 'service-changed' }), id);
}

/** CCCDs of another database may be anybody's now; the one of Service Changed stays, so that the peer can be told. */
function serviceChangedOnly({ index }: Surroundings, cccds: ReadonlyMap<Handle, number>): ReadonlyMap<Handle, number> {
  const row = index.serviceChanged === undefined ? undefined : index.cccds.get(index.serviceChanged.handle);
  const bits = row === undefined ? undefined : cccds.get(row.handle);
  return row === undefined || bits === undefined ? new Map() : new Map([[row.handle, bits]]);
}

function subscriptions(
  { index }: Surroundings,
  id: ConnectionId,
  cccds: ReadonlyMap<Handle, number>,
): ServerStep['effects'] {
  return [...cccds].flatMap(([handle, bits]) => {
    const content = index.byHandle.get(handle)?.content;
    return content?.kind === 'cccd' ? subscriptionEffects(id, index.valueIndices.get(content.of), bits) : [];
  });
}
