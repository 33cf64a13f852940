import { sha1 } from '@noble/hashes/legacy.js';
import { bug } from './bug.ts';
import { concat, reversed, type Bytes } from './bytes.ts';
import { uuidBytes, uuidFromBytes, type Uuid } from './uuid.ts';

/** Name spaces of RFC 9562 section 6.6. */
export const uuidNamespaces = {
  dns: '6ba7b810-9dad-11d1-80b4-00c04fd430c8' as Uuid,
  url: '6ba7b811-9dad-11d1-80b4-00c04fd430c8' as Uuid,
} as const;

/**
 * The version 5 UUID of a name: the same name gives the same UUID everywhere. RFC 9562 section 5.5.
 *
 * @param name as UTF-8 octets
 */
export function uuidV5(namespace: Uuid, name: Bytes): Uuid {
  const digest = sha1(concat(reversed(uuidBytes(namespace)), name)).slice(0, 16);
  digest[6] = ((digest[6] ?? 0) & 0x0f) | 0x50;
  digest[8] = ((digest[8] ?? 0) & 0x3f) | 0x80;
  const uuid = uuidFromBytes(reversed(digest));
  bug(uuid !== undefined, 'a digest of 16 octets is a UUID');
  return uuid;
}
