import type { Bytes } from '../../base/bytes.ts';
import { events, type EventName } from '../../hci/events/codec.ts';
import { leMetaCode } from '../../hci/events/general.ts';
import { leEvents } from '../../hci/events/le.ts';

/** All events of the first page up to 0x2D; not LE Meta, which every LE host must ask for. Core Vol 4 Part E 7.3.1. */
export const defaultEventMask: Bytes = Uint8Array.of(0xff, 0xff, 0xff, 0xff, 0xff, 0x1f, 0, 0);
/** The first five LE meta events. Core Vol 4 Part E 7.8.1. */
export const defaultLeEventMask: Bytes = Uint8Array.of(0x1f, 0, 0, 0, 0, 0, 0, 0);

/** Answers to commands, and the counting of packets, cannot be masked. Core Vol 4 Part E 7.3.1. */
const unmaskable: readonly EventName[] = [
  'command-complete',
  'command-status',
  'number-of-completed-packets',
  'vendor',
];

/** Bit `code - 1` of eight octets. */
function has(mask: Bytes, code: number): boolean {
  return (((mask[(code - 1) >> 3] ?? 0) >> ((code - 1) & 7)) & 1) === 1;
}

/** Whether a host with these masks gets an event. */
export function unmasked(name: EventName, mask: Bytes, leMask: Bytes): boolean {
  if (unmaskable.includes(name)) return true;
  const { code } = events[name];
  return name in leEvents ? has(mask, leMetaCode) && has(leMask, code) : has(mask, code);
}
