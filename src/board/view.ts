import type { Microseconds } from '../base/quantity.ts';
import type { LinkSecurity } from '../att/link.ts';
import type { ConnectionId } from '../att/server-model.ts';
import type { ValueDefinition } from '../table/model.ts';
import type { SecurityWord, SubscriptionWord } from './console.ts';
import type { BoardState } from './model.ts';

/** Clock readings of a board wrap here: 49.7 days. */
const clockWrap = 0x1_0000_0000;

/** The board's own millisecond clock at `at`: whole milliseconds since power-up, modulo 2^32. */
export function boardMs(state: BoardState, at: Microseconds): number {
  return Math.floor((at - state.startedAt) / 1000) % clockWrap;
}

/** CCCD bits of one client for one value: 1 notify, 2 indicate. */
export function subscriptionBits(state: BoardState, definition: ValueDefinition, connection: ConnectionId): number {
  const { cccd } = definition;
  return cccd === undefined ? 0 : (state.server.connections.get(connection)?.cccds.get(cccd) ?? 0) & 3;
}

export function isSubscribed(state: BoardState, definition: ValueDefinition): boolean {
  if (definition.cccd === undefined) return false;
  for (const connection of state.server.connections.keys()) {
    if (subscriptionBits(state, definition, connection) !== 0) return true;
  }
  return false;
}

export function subscriptionWord(bits: number): SubscriptionWord | 'off' {
  return (['off', 'notify', 'indicate', 'both'] as const)[bits & 3] ?? 'off';
}

/** The strongest thing that can be said of a link. */
export function securityWord(security: LinkSecurity): SecurityWord {
  if (!security.encrypted) return 'open';
  if (!security.authenticated) return 'encrypted';
  return security.secureConnections ? 'secure-connections' : 'authenticated';
}
