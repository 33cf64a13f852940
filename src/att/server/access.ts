import { attError } from '../../numbers/att-errors.ts';
import type { Need } from '../../contract/model.ts';
import type { Row } from '../../table/model.ts';
import type { LinkSecurity } from '../link.ts';
import type { ServerConnection, ServerState } from '../server-model.ts';

/** Error code for a client that may not read the attribute; permission before security. */
export function readRefusal(state: ServerState, connection: ServerConnection, row: Row): number | undefined {
  const need = row.permissions.read;
  if (need === undefined) return attError.readNotPermitted;
  return securityRefusal(need, connection.security, hasKey(state, connection));
}

/** Error code for a client that may not write the attribute in this way; permission before security. */
export function writeRefusal(
  state: ServerState,
  connection: ServerConnection,
  row: Row,
  how: 'request' | 'command',
): number | undefined {
  const { write, writeRequest, writeCommand } = row.permissions;
  if (write === undefined || !(how === 'request' ? writeRequest : writeCommand)) return attError.writeNotPermitted;
  return securityRefusal(write, connection.security, hasKey(state, connection));
}

/** Whether there is a key with which the client could encrypt the link. */
function hasKey(state: ServerState, connection: ServerConnection): boolean {
  return connection.security.bonded || state.bonds.has(connection.peer);
}

/**
 * What a link lacks of a need, as an error code. No key: Insufficient Authentication; a key that is not in use:
 * Insufficient Encryption; in use, but unauthenticated or from legacy pairing where more is needed: Insufficient
 * Authentication; level 4 asks for a key of 16 octets. Core Vol 3 Part C 10.2.1 and 10.3.1 (from memory).
 */
export function securityRefusal(need: Need, security: LinkSecurity, keyAvailable: boolean): number | undefined {
  if (need === 'open') return undefined;
  if (!security.encrypted) {
    return keyAvailable ? attError.insufficientEncryption : attError.insufficientAuthentication;
  }
  if (need === 'encrypted') return undefined;
  if (!security.authenticated) return attError.insufficientAuthentication;
  if (need === 'authenticated') return undefined;
  if (!security.secureConnections) return attError.insufficientAuthentication;
  return security.keySize < 16 ? attError.encryptionKeySizeTooShort : undefined;
}
