/** What fits into one PDU, in octets of value. Core Vol 3 Part F 3.4; recomputed for the MTU of 23. */

/** The MTU of every connection until the client asks for another. Core Vol 3 Part G 5.2.1. */
export const defaultMtu = 23;

/** Opcode and handle stand before the value. */
export function notificationRoom(mtu: number): number {
  return mtu - 3;
}

/** Opcode and handle, as in a notification. */
export function writeRoom(mtu: number): number {
  return mtu - 3;
}

/** The opcode stands before the value. */
export function readRoom(mtu: number): number {
  return mtu - 1;
}

/** The MTU at which a value of `length` octets fits a notification or a write. */
export function mtuFor(length: number): number {
  return length + 3;
}
