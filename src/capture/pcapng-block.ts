import { concat, u16le, u32le, type Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import { encodeUtf8 } from '../values/utf8.ts';

/** Block types, draft-ietf-opsawg-pcapng section 11.1. */
export const blockType = { section: 0x0a0d0d0a, interface: 1, enhancedPacket: 6 } as const;

/** Option codes: 0 and 1 in every block, the others by block (draft-ietf-opsawg-pcapng sections 3.5, 4.1, 4.2, 4.3). */
export const optionCode = {
  end: 0,
  comment: 1,
  sectionProgram: 4,
  interfaceName: 2,
  interfaceDescription: 3,
  interfaceResolution: 9,
  packetFlags: 2,
} as const;

/** Written as it stands and read back to tell the byte order; section 4.1. */
export const byteOrderMagic = 0x1a2b3c4d;

/** Which way a packet went, as seen from where it was captured: bits 0 and 1 of the packet's flags, section 4.3.1. */
export type Direction = 'inbound' | 'outbound';

const directionBits = { inbound: 1, outbound: 2 } as const;

type Option = { readonly code: number; readonly value: Bytes };

/** An option's text holds at most 65,535 octets, section 3.5. */
const mostOption = 0xffff;

/** Begins a file. @param program who wrote it */
export function sectionBlock(program: string, comment?: string): Bytes {
  const unknownLength = [0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff];
  return block(blockType.section, concat(u32le(byteOrderMagic), u16le(1), u16le(0), unknownLength), [
    ...commentOption(comment),
    { code: optionCode.sectionProgram, value: encodeUtf8(program) },
  ]);
}

/** Where packets were captured; later blocks name it by its number in the section, from 0. Times are microseconds. */
export function interfaceBlock(type: number, name: string, description: string): Bytes {
  const noLimit = u32le(0);
  return block(blockType.interface, concat(u16le(type), u16le(0), noLimit), [
    { code: optionCode.interfaceName, value: encodeUtf8(name) },
    { code: optionCode.interfaceDescription, value: encodeUtf8(description) },
    // 10^-6, which is the default anyway: written for those who look.
    { code: optionCode.interfaceResolution, value: Uint8Array.of(6) },
  ]);
}

export type PacketFields = {
  /** Number of the interface. */
  readonly interface: number;
  /** Since 1 January 1970, or since a simulation began. */
  readonly at: Microseconds;
  readonly data: Bytes;
  readonly direction: Direction | undefined;
  readonly comment: string | undefined;
};

export function packetBlock({ interface: number, at, data, direction, comment }: PacketFields): Bytes {
  const high = Math.floor(at / 0x1_0000_0000);
  const fixed = concat(u32le(number), u32le(high), u32le(at >>> 0), u32le(data.length), u32le(data.length));
  return block(blockType.enhancedPacket, concat(fixed, padded(data)), [
    ...commentOption(comment),
    ...(direction === undefined ? [] : [{ code: optionCode.packetFlags, value: u32le(directionBits[direction]) }]),
  ]);
}

function commentOption(comment: string | undefined): readonly Option[] {
  return comment === undefined ? [] : [{ code: optionCode.comment, value: encodeUtf8(comment) }];
}

/** Type, total length, body, options, total length again; section 3.1. */
function block(type: number, body: Bytes, options: readonly Option[]): Bytes {
  const octets = concat(body, ...options.map(encodeOption), options.length === 0 ? [] : u32le(optionCode.end));
  const length = u32le(octets.length + 12);
  return concat(u32le(type), length, octets, length);
}

function encodeOption({ code, value }: Option): Bytes {
  const kept = value.subarray(0, mostOption);
  return concat(u16le(code), u16le(kept.length), padded(kept));
}

/** Up to the next multiple of 4 octets, with zeros. */
function padded(data: Bytes): Bytes {
  return concat(data, new Uint8Array((4 - (data.length % 4)) % 4));
}
