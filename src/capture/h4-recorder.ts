import { concat, type Bytes } from '../base/bytes.ts';
import type { Clock } from '../base/clock.ts';
import type { H4Port } from '../hci/h4-port.ts';
import { H4Reader } from '../hci/h4-reader.ts';
import { encodePacket } from '../hci/packet.ts';
import { linkType } from './link-types.ts';
import type { CaptureInterface, PcapngWriter } from './pcapng-writer.ts';

/** Records what crosses an H4 stream between a host and its controller. */
export class H4Recorder {
  readonly #clock: Clock;
  readonly #capture: CaptureInterface;

  /** @param name who the host is: `board`, `first` */
  constructor(writer: PcapngWriter, clock: Clock, name: string) {
    this.#clock = clock;
    this.#capture = writer.addInterface(linkType.hciH4WithDirection, name, `HCI of ${name}, as H4 packets`);
  }

  /** The host's end of the stream, with everything that crosses it recorded, whole packet by whole packet. */
  tap(port: H4Port): H4Port {
    const sent = this.#direction('outbound');
    const received = this.#direction('inbound');
    return {
      send: (octets) => {
        sent(octets);
        port.send(octets);
      },
      onOctets: (listener) => {
        port.onOctets((octets) => {
          received(octets);
          listener(octets);
        });
      },
      onClose: (listener) => {
        port.onClose(listener);
      },
    };
  }

  #direction(direction: 'inbound' | 'outbound'): (octets: Bytes) => void {
    const reader = new H4Reader('onlooker');
    // Four octets, most significant first; the last bit is set for what the host receives. The registry's text has it the
    // other way round, the files that exist have it so: who reads tells by the packet's type.
    const header = [0, 0, 0, direction === 'inbound' ? 1 : 0];
    return (octets) => {
      for (const item of reader.push(octets)) {
        if (item.kind === 'lost-sync') continue;
        this.#capture.packet(this.#clock.now(), concat(header, encodePacket(item)), { direction });
      }
    };
  }
}
