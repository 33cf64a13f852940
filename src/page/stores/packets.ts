import { signal, type ReadonlySignal } from '@preact/signals';
import type { CrossedPdu } from '../../att/link.ts';
import { onNews } from './port.ts';

/** A packet that crossed; `id` counts up and never repeats. */
export type Packet = CrossedPdu & { readonly id: number };

/** Packets that are kept. */
const mostPackets = 300;

const packetsNow = signal<readonly Packet[]>([]);
const countNow = signal(0);
const crossingListeners = new Set<(counts: Crossings) => void>();
let packets: Packet[] = [];
let nextId = 1;
let count = 0;
let timer: ReturnType<typeof setTimeout> | undefined;

export type Crossings = { readonly central: number; readonly board: number };

/** The newest packets of this board, oldest first, at most 300; with the count of all. */
export const recentPackets: ReadonlySignal<readonly Packet[]> = packetsNow;
export const packetCount: ReadonlySignal<number> = countNow;

/** Called when packets have crossed, some 20 times a second at most, with how many from each side. */
export function onCrossings(listener: (counts: Crossings) => void): () => void {
  crossingListeners.add(listener);
  return () => {
    crossingListeners.delete(listener);
  };
}

function show(): void {
  packetsNow.value = packets.slice(-mostPackets);
  countNow.value = count;
}

onNews('happened', ({ batch }) => {
  const { central, board } = batch.pduCounts;
  if (central + board === 0) return;
  count += central + board;
  for (const pdu of batch.pdus) packets.push({ ...pdu, id: nextId++ });
  if (packets.length > 2 * mostPackets) packets = packets.slice(-mostPackets);
  for (const listener of crossingListeners) listener(batch.pduCounts);
  timer ??= setTimeout(() => {
    timer = undefined;
    show();
  }, 100);
});

onNews('board-started', () => {
  packets = [];
  count = 0;
  show();
});
