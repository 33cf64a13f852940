import { dataChannels, usedChannels } from './channels.ts';
import type { Bytes } from '../../base/bytes.ts';

/** A channel map ready for use. */
export type ChannelSet = {
  readonly map: Bytes;
  readonly used: readonly number[];
  /** By channel, whether it is used. */
  readonly has: readonly boolean[];
};

/** @param map five octets, at least two channels in them */
export function channelSet(map: Bytes): ChannelSet {
  const used = usedChannels(map);
  return { map, used, has: Array.from({ length: dataChannels }, (_, channel) => used.includes(channel)) };
}

/** The number that algorithm #2 knows a connection by. Core Vol 6 Part B 4.5.8.3.1. */
export function channelIdentifier(accessAddress: number): number {
  return ((accessAddress >>> 16) ^ accessAddress) & 0xffff;
}

/** Each octet's bits in the other order. */
const reversedBits = Uint8Array.from({ length: 256 }, (_, octet) => {
  let reversed = 0;
  for (let bit = 0; bit < 8; bit++) reversed |= ((octet >> bit) & 1) << (7 - bit);
  return reversed;
});

/** Bits of each octet of a 16-bit number turned round. */
function permute(value: number): number {
  return ((reversedBits[value >> 8] ?? 0) << 8) | (reversedBits[value & 0xff] ?? 0);
}

function multiplyAdd(value: number, add: number): number {
  return (value * 17 + add) & 0xffff;
}

/** Pseudo-random number of an event, prn_e. Core Vol 6 Part B 4.5.8.3.2. */
export function eventNumber(counter: number, identifier: number): number {
  let value = counter ^ identifier;
  for (let round = 0; round < 3; round++) value = multiplyAdd(permute(value), identifier);
  return value ^ identifier;
}

/**
 * Channel selection algorithm #2. Core Vol 6 Part B 4.5.8.3.
 *
 * @param counter of the connection event, 16 bits
 * @param identifier see {@link channelIdentifier}
 */
export function selectChannel2(counter: number, identifier: number, channels: ChannelSet): number {
  const number = eventNumber(counter, identifier);
  const unmapped = number % dataChannels;
  if (channels.has[unmapped] === true) return unmapped;
  const { used } = channels;
  return used[Math.floor((used.length * number) / 65_536)] ?? unmapped;
}

/** Next unmapped channel of algorithm #1. Core Vol 6 Part B 4.5.8.2. */
export function nextUnmapped1(last: number, hop: number): number {
  return (last + hop) % dataChannels;
}

/** Channel selection algorithm #1: the channel for an unmapped one. Core Vol 6 Part B 4.5.8.2. */
export function selectChannel1(unmapped: number, channels: ChannelSet): number {
  const { used, has } = channels;
  return has[unmapped] === true ? unmapped : (used[unmapped % used.length] ?? unmapped);
}
