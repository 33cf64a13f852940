import type { Table, ValueDefinition } from '../../table/model.ts';
import { valueHeader } from '../air/packing.ts';

/** ATT_MTU of every connection before it is raised, octets. Core Vol 3 Part G 5.2.1. */
export const defaultMtu = 23;

/** A value that does not get through whole in one PDU at some MTU. */
export type Cut = {
  readonly id: string;
  /** Octets at its longest. */
  readonly octets: number;
  /** Octets of it that a client has without asking again, at the default MTU: notified, else read. */
  readonly keptAtDefault: number;
  /** The same at the contract's MTU. */
  readonly kept: number;
  readonly by: 'notification' | 'read' | 'write';
  /** Characters that survive at the default MTU, at the least and at the most; only for text. */
  readonly characters: { readonly least: number; readonly most: number } | undefined;
  /** The smallest MTU at which nothing is cut. */
  readonly neededMtu: number;
  /** What happens, as a sentence. */
  readonly told: string;
};

/** The values of a contract that the default MTU cuts or sends in pieces, in handle order. */
export function cutsOf(table: Table): readonly Cut[] {
  const { mtu } = table.radio.connection;
  return table.values.flatMap((value) => {
    const cut = cutOf(value, mtu);
    return cut === undefined ? [] : [cut];
  });
}

function cutOf(value: ValueDefinition, mtu: number): Cut | undefined {
  const { id, access, type, maxLength: octets } = value;
  const by = value.notify !== undefined ? 'notification' : access.includes('read') ? 'read' : 'write';
  // A read answers behind one octet of opcode, everything else behind three.
  const header = by === 'read' ? 1 : valueHeader;
  const room = defaultMtu - header;
  if (octets <= room) return undefined;
  const isText = type.kind === 'text';
  const told =
    by === 'notification'
      ? isText
        ? `a client gets the first ${room} octets; the cut may fall inside a character, and what is left of it shows as a replacement mark`
        : `a client gets the first ${room} octets and must read the rest`
      : by === 'read'
        ? `a read needs ${Math.floor(octets / room) + 1} requests`
        : 'a write needs prepared writes, which not every client has';
  return {
    id,
    octets,
    keptAtDefault: room,
    kept: Math.min(octets, mtu - header),
    by,
    characters: isText ? charactersIn(room, type.encoding) : undefined,
    neededMtu: octets + header,
    told,
  };
}

/** Whole characters in so many octets: UTF-8 takes 1 to 4 (RFC 3629), UTF-16 2 or 4. */
function charactersIn(octets: number, encoding: 'utf8' | 'utf16'): { readonly least: number; readonly most: number } {
  return { least: Math.floor(octets / 4), most: Math.floor(octets / (encoding === 'utf8' ? 1 : 2)) };
}
