import { noBytes, type Bytes } from '../../base/bytes.ts';
import type { Microseconds } from '../../base/quantity.ts';
import { llid } from '../pdu/data-pdu.ts';

/** A data PDU on its way, kept until it is acknowledged. */
export type Outgoing = {
  readonly llid: number;
  /** As handed in, without MIC. */
  readonly payload: Bytes;
  /** What goes on the air; made at the first transmission. */
  sealed: Bytes | undefined;
  readonly acknowledged: ((at: Microseconds) => void) | undefined;
};

/** Says only that its sender is there. */
export const emptyPdu: Outgoing = { llid: llid.continuing, payload: noBytes, sealed: noBytes, acknowledged: undefined };

/** One of the host's ACL packets, cut into PDUs as they are sent. */
export type HostData = {
  readonly data: Bytes;
  /** Whether it begins an L2CAP packet. */
  readonly start: boolean;
  readonly arrived: Microseconds;
  offset: number;
};

/** The next PDU of a host's packet. */
export function cut(packet: HostData, limit: number, completed: () => void): Outgoing {
  const first = packet.offset === 0;
  const payload = packet.data.subarray(packet.offset, packet.offset + limit);
  packet.offset += payload.length;
  const last = packet.offset >= packet.data.length;
  return {
    llid: first && packet.start ? llid.start : llid.continuing,
    payload,
    sealed: undefined,
    acknowledged: last ? completed : undefined,
  };
}
