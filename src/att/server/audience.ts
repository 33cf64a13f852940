import type { ServerConnection } from '../server-model.ts';
import { securityRefusal } from './access.ts';
import { isHeldBack } from './caching.ts';
import type { Surroundings } from './context.ts';

/**
 * Whether a subscribed client may be sent a value now. A bond keeps the subscription, so the security of the link is
 * asked at each value, Core Vol 3 Part C 10.3.1.1; and a client that must first learn of a change gets none.
 */
export function mayReceive({ table }: Surroundings, connection: ServerConnection, index: number): boolean {
  const need = table.values[index]?.needs.subscribe ?? 'open';
  return !isHeldBack(connection) && securityRefusal(need, connection.security, false) === undefined;
}
