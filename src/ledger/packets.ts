import { concat } from '../base/bytes.ts';
import { linkType } from '../capture/link-types.ts';
import type { PcapngWriter } from '../capture/pcapng-writer.ts';
import { encodeFrame, fixedChannel } from '../hci/l2cap.ts';
import { boundary, encodePacket } from '../hci/packet.ts';
import type { Observation } from './observation.ts';

/** Connection handles end here, Core Vol 4 Part E 5.4.2. */
const handles = 0x0f00;

/**
 * Writes the ATT PDUs of a recording as the central's host sees them: each in one L2CAP frame, in one HCI ACL packet. The
 * connection handle is the number of the connection in the session. What lies below ATT was not seen and is made up: no
 * fragments, no credits, no link layer.
 *
 * @returns takes each observation; those that are no packets are passed over
 */
export function packetCapture(writer: PcapngWriter, name: string): (observation: Observation) => void {
  const about = 'ATT PDUs of a recorded session, wrapped in L2CAP and HCI ACL data by gattwright';
  const capture = writer.addInterface(linkType.hciH4WithDirection, name, about);
  return (observation) => {
    if (observation.kind !== 'packet') return;
    const inbound = observation.from === 'board';
    const packet = encodePacket({
      kind: 'acl',
      handle: observation.connection % handles,
      boundary: inbound ? boundary.firstFlushable : boundary.first,
      broadcast: 0,
      data: encodeFrame({ channel: fixedChannel.attribute, payload: observation.pdu }),
    });
    // The direction as h4-recorder.ts writes it: four octets, most significant first.
    const octets = concat([0, 0, 0, inbound ? 1 : 0], packet);
    capture.packet(observation.at, octets, { direction: inbound ? 'inbound' : 'outbound' });
  };
}
