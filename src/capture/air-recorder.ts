import { concat, u16le, u32le, type Bytes } from '../base/bytes.ts';
import { unreachable } from '../base/bug.ts';
import { crcOctets, type AirPacket } from '../radio/air-packet.ts';
import { linkType } from './link-types.ts';
import type { CaptureInterface, PcapngWriter } from './pcapng-writer.ts';

/** Bits of the flags in front of a packet, LINKTYPE_BLUETOOTH_LE_LL_WITH_PHDR of the public registry of link types. */
const flag = {
  dewhitened: 0x0001,
  signalValid: 0x0002,
  referenceValid: 0x0010,
  crcChecked: 0x0400,
  crcValid: 0x0800,
} as const;

/** The kind of PDU, in bits 7 to 9. */
const pduKind = { advertising: 0, 'central-to-peripheral': 2, 'peripheral-to-central': 3 } as const;

/** Records what is sent in a room, as a receiver that misses nothing would. */
export class AirRecorder {
  readonly #capture: CaptureInterface;

  constructor(writer: PcapngWriter) {
    this.#capture = writer.addInterface(
      linkType.leLinkLayerWithHeader,
      'air',
      'LE link layer: everything that is sent',
    );
  }

  /** Takes one packet. A comment tells who sent it: on a connection the packet itself does not. */
  take(packet: AirPacket): void {
    this.#capture.packet(packet.at, airOctets(packet), { comment: `from ${packet.from}` });
  }
}

/** Header of 10 octets, access address, coding indicator where there is one, PDU, CRC. */
export function airOctets(packet: AirPacket): Bytes {
  const { channel, rssi, accessAddress, link, crcOk, pdu } = packet;
  const { phy, coding } = phyOf(packet);
  const kind = pduKind[link?.direction ?? 'advertising'];
  const flags =
    flag.dewhitened |
    flag.signalValid |
    flag.referenceValid |
    flag.crcChecked |
    (crcOk ? flag.crcValid : 0) |
    (kind << 7) |
    (phy << 14);
  const noise = 0;
  const offences = 0;
  return concat(
    [rfChannel(channel), rssi & 0xff, noise, offences],
    u32le(accessAddress),
    u16le(flags),
    u32le(accessAddress),
    coding,
    pdu,
    crcOctets(packet),
  );
}

/** From the index of a channel to its number in order of frequency, (f - 2402 MHz) / 2 MHz: Core Vol 6 Part B 1.4.1. */
function rfChannel(index: number): number {
  if (index === 37) return 0;
  if (index === 38) return 12;
  if (index === 39) return 39;
  return index <= 10 ? index + 1 : index + 2;
}

/** Number of the PHY, and the coding indicator: Core Vol 6 Part B 2.2.3. */
function phyOf({ phy }: AirPacket): { readonly phy: number; readonly coding: readonly number[] } {
  switch (phy) {
    case '1M':
      return { phy: 0, coding: [] };
    case '2M':
      return { phy: 1, coding: [] };
    case 'coded-s8':
      return { phy: 2, coding: [0] };
    case 'coded-s2':
      return { phy: 2, coding: [1] };
    default:
      return unreachable(phy);
  }
}
