import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Phy } from '../contract/model.ts';
import { crc24 } from './pdu/crc24.ts';

/** One packet as a receiver beside the intended one would see it. */
export type AirPacket = {
  /** Start of the preamble, and time from there to the last bit. */
  readonly at: Microseconds;
  readonly duration: Microseconds;
  /** Channel index: 0..36 data, 37..39 advertising. */
  readonly channel: number;
  readonly phy: Phy;
  /** 32 bits, unsigned. */
  readonly accessAddress: number;
  /** Header and payload, with the MIC if it is encrypted; not whitened. */
  readonly pdu: Bytes;
  readonly crcInit: number;
  /** Whether it arrived whole where it was to arrive; on advertising channels, whether it met no other packet. */
  readonly crcOk: boolean;
  /** Signal strength, dBm. */
  readonly rssi: number;
  /** Name of the controller that sent it. */
  readonly from: string;
  /** Only on a connection. */
  readonly link?: {
    readonly direction: 'central-to-peripheral' | 'peripheral-to-central';
    /** Connection event counter, 16 bits. */
    readonly event: number;
    readonly encrypted: boolean;
  };
};

/** The three octets behind the PDU; of a packet that did not arrive whole, others. */
export function crcOctets(packet: AirPacket): Bytes {
  const crc = crc24(packet.pdu, packet.crcInit);
  return packet.crcOk ? crc : crc.map((octet) => octet ^ 0xff);
}
