import type { AccessWord, Characteristic, Need } from '../model.ts';

/** What a characteristic lets a client do. */

export function may(characteristic: Characteristic, word: AccessWord): boolean {
  return characteristic.access.includes(word);
}

export function isReadable(characteristic: Characteristic): boolean {
  return may(characteristic, 'read');
}

export function isWritable(characteristic: Characteristic): boolean {
  return may(characteristic, 'write') || may(characteristic, 'write-without-response');
}

/** Notified or indicated. */
export function isPublished(characteristic: Characteristic): boolean {
  return may(characteristic, 'notify') || may(characteristic, 'indicate');
}

/** The access list as it is written in a contract. */
export function accessList(words: readonly AccessWord[]): string {
  return `[${words.join(', ')}]`;
}

const order: readonly Need[] = ['open', 'encrypted', 'authenticated', 'secure-connections'];

/** True when a link that satisfies `weak` may fail `strong`. */
export function isWeaker(weak: Need, strong: Need): boolean {
  return order.indexOf(weak) < order.indexOf(strong);
}
