import type { Bytes } from '../base/bytes.ts';
import { concat, noBytes } from '../base/bytes.ts';
import { decodePacket, h4Type, packetLength, type HciPacket } from './packet.ts';

/** What comes out of a stream: packets, and the moment at which it made no sense any more. */
export type H4Item = HciPacket | { readonly kind: 'lost-sync'; readonly octet: number };

/** Who reads: a controller takes no events, a host no commands, an onlooker everything. */
export type H4End = 'host' | 'controller' | 'onlooker';

const taken: Readonly<Record<H4End, readonly number[]>> = {
  host: [h4Type.acl, h4Type.sync, h4Type.event, h4Type.iso],
  controller: [h4Type.command, h4Type.acl, h4Type.sync, h4Type.iso],
  onlooker: Object.values(h4Type),
};

/** HCI_Reset; and Command Complete of it, where -1 stands for any Num_HCI_Command_Packets. */
const resetCommand = [0x01, 0x03, 0x0c, 0x00];
const resetComplete = [0x04, 0x0e, 0x04, -1, 0x03, 0x0c, 0x00];

/**
 * Cuts an H4 stream into packets, however it is split on its way.
 *
 * An octet that begins no packet means that the ends are out of step. The reader tells so once and then, as Core Vol 4
 * Part A 4 has it, throws all octets away until the HCI_Reset command (a controller), or the Command Complete event of
 * HCI_Reset with status 0 (a host), passes by; that packet is the next item. A host so told must send HCI_Reset, a
 * controller must send Hardware Error. An onlooker cannot ask for a reset: it goes on at either of the two.
 */
export class H4Reader {
  readonly #end: H4End;
  #waiting: Bytes = noBytes;
  #lost = false;
  #thrownAway = 0;

  constructor(end: H4End) {
    this.#end = end;
  }

  /** Octets thrown away so far. */
  get thrownAway(): number {
    return this.#thrownAway;
  }

  /** Whether the reader looks for a reset. */
  get lost(): boolean {
    return this.#lost;
  }

  push(octets: Bytes): readonly H4Item[] {
    const items: H4Item[] = [];
    let left = this.#waiting.length === 0 ? octets : concat(this.#waiting, octets);
    for (;;) {
      if (this.#lost) {
        const found = this.#findReset(left);
        left = left.subarray(found.at);
        this.#thrownAway += found.at;
        if (!found.whole) break;
        this.#lost = false;
      }
      const type = left[0];
      if (type === undefined) break;
      if (!taken[this.#end].includes(type)) {
        this.#lost = true;
        items.push({ kind: 'lost-sync', octet: type });
        continue;
      }
      const length = packetLength(left);
      if (length === undefined || left.length < length) break;
      const packet = decodePacket(left.subarray(0, length));
      if (packet !== undefined) items.push(packet);
      left = left.subarray(length);
    }
    this.#waiting = left.slice();
    return items;
  }

  /** Where a reset stands, or else where one may have begun. */
  #findReset(octets: Bytes): { readonly at: number; readonly whole: boolean } {
    const patterns = [
      ...(this.#end === 'host' ? [] : [resetCommand]),
      ...(this.#end === 'controller' ? [] : [resetComplete]),
    ];
    for (let at = 0; at < octets.length; at++) {
      for (const pattern of patterns) {
        const match = matchAt(octets, at, pattern);
        if (match !== 'none') return { at, whole: match === 'whole' };
      }
    }
    return { at: octets.length, whole: false };
  }
}

function matchAt(octets: Bytes, at: number, pattern: readonly number[]): 'none' | 'begun' | 'whole' {
  for (let i = 0; i < pattern.length; i++) {
    const octet = octets[at + i];
    if (octet === undefined) return 'begun';
    if (pattern[i] !== -1 && pattern[i] !== octet) return 'none';
  }
  return 'whole';
}
