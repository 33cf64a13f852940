import { concat, type Bytes } from '../../base/bytes.ts';

/** LLID of a data PDU. Core Vol 6 Part B 2.4. */
export const llid = {
  /** Goes on with an L2CAP packet; or, without payload, says nothing. */
  continuing: 1,
  /** Begins an L2CAP packet. */
  start: 2,
  control: 3,
} as const;

/** Bits of a data PDU's first octet. */
export type DataHeader = {
  readonly llid: number;
  /** Next expected and own sequence number, 0 or 1. */
  readonly nextExpected: number;
  readonly sequence: number;
  readonly moreData: boolean;
};

/** The header's first octet. */
export function dataHeaderOctet(header: DataHeader): number {
  return header.llid | (header.nextExpected << 2) | (header.sequence << 3) | (header.moreData ? 0x10 : 0);
}

/**
 * @param header first octet, see {@link dataHeaderOctet}
 * @param payload with its MIC, if it is encrypted
 */
export function encodeDataPdu(header: number, payload: Bytes): Bytes {
  return concat([header, payload.length], payload);
}
