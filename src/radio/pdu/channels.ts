import type { Bytes } from '../../base/bytes.ts';

/** Indices of the primary advertising channels. Core Vol 6 Part B 1.4.1. */
export const advertisingChannels = [37, 38, 39] as const;
/** Channels that data may use: 0..36. */
export const dataChannels = 37;

/** All 37 data channels in the five octets of a channel map. */
export const fullChannelMap: Bytes = Uint8Array.of(0xff, 0xff, 0xff, 0xff, 0x1f);

/** Centre frequency in MHz of a channel index 0..39. Core Vol 6 Part B 1.4.1. */
export function channelFrequency(channel: number): number {
  if (channel === 37) return 2402;
  if (channel === 38) return 2426;
  if (channel === 39) return 2480;
  return channel <= 10 ? 2404 + 2 * channel : 2428 + 2 * (channel - 11);
}

/** Channels of a map in ascending order. Bit k of the five octets, least significant first, is channel k. */
export function usedChannels(map: Bytes): readonly number[] {
  const used: number[] = [];
  for (let channel = 0; channel < dataChannels; channel++) {
    if ((((map[channel >> 3] ?? 0) >> (channel & 7)) & 1) !== 0) used.push(channel);
  }
  return used;
}
