import { concat, type Bytes } from '../../base/bytes.ts';

/** LLID of a data PDU. Core Vol 6 Part B 2.4. */
export const llid = {
  /** Goes on with an L2CAP packet; or, without payload, says nothing. */
  continuing: 1,
  /** Begins an L2CAP packet. */
  start: 2,
  control: 3,
} as const;

/**
 * The header's first octet: LLID, next expected and own sequence number, whether more follows in this event.
 *
 * @param nextExpected 0 or 1
 * @param sequence 0 or 1
 */
export function dataHeaderOctet(kind: number, nextExpected: number, sequence: number, more: boolean): number {
  return kind | (nextExpected << 2) | (sequence << 3) | (more ? 0x10 : 0);
}

/**
 * @param header first octet, see {@link dataHeaderOctet}
 * @param payload with its MIC, if it is encrypted
 */
export function encodeDataPdu(header: number, payload: Bytes): Bytes {
  return concat([header, payload.length], payload);
}
