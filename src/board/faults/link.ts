import { concat, u16le, type Bytes } from '../../base/bytes.ts';
import { encodeCommand } from '../../hci/commands/codec.ts';
import { decodeEvent } from '../../hci/events/codec.ts';
import type { H4Port } from '../../hci/h4-port.ts';
import { H4Reader, type H4Item } from '../../hci/h4-reader.ts';
import { boundary, encodePacket, type AclPacket, type HciPacket } from '../../hci/packet.ts';

/**
 * A fault planted below ATT, between a board's host and its controller: it changes the packets on their way. Only a board
 * behind a controller can have one.
 */
export type HostFault = {
  /** Kebab case. */
  readonly name: string;
  /** One sentence: what this board does wrong, in the user's words. */
  readonly about: string;
  /** What a user sees on the bench. */
  readonly symptom: string;
  /** The host's end of the stream, with the fault in it. */
  stream(inner: H4Port): H4Port;
};

type Ways = {
  /** Sends a packet on to the host, or to the controller. */
  readonly toHost: (packet: HciPacket) => void;
  readonly toController: (packet: HciPacket) => void;
};

/** Looks at each packet, which goes on unless `up` or `down` says false. */
function between(
  change: (ways: Ways) => {
    readonly up?: (packet: HciPacket) => boolean;
    readonly down?: (packet: HciPacket) => boolean;
  },
): HostFault['stream'] {
  return (inner) => {
    let listener: (octets: Bytes) => void = () => undefined;
    const ways: Ways = {
      toHost: (packet) => {
        listener(encodePacket(packet));
      },
      toController: (packet) => {
        inner.send(encodePacket(packet));
      },
    };
    const { up = goesOn, down = goesOn } = change(ways);
    const fromController = new H4Reader('onlooker');
    const fromHost = new H4Reader('onlooker');
    const packets = (items: readonly H4Item[]): readonly HciPacket[] =>
      items.flatMap((item) => (item.kind === 'lost-sync' ? [] : [item]));
    return {
      send: (octets) => {
        for (const packet of packets(fromHost.push(octets))) if (down(packet)) ways.toController(packet);
      },
      onOctets: (given) => {
        listener = given;
        inner.onOctets((octets) => {
          for (const packet of packets(fromController.push(octets))) if (up(packet)) ways.toHost(packet);
        });
      },
      onClose: (given) => {
        inner.onClose(given);
      },
    };
  };
}

function goesOn(): boolean {
  return true;
}

/** The channel of a frame that begins in this packet; `undefined` for everything else. */
function channelOf(packet: HciPacket): number | undefined {
  if (packet.kind !== 'acl' || packet.boundary === boundary.continuing || packet.data.length < 4) return undefined;
  return (packet.data[2] ?? 0) | ((packet.data[3] ?? 0) << 8);
}

/** Drops what the host sends on one channel. */
function silentOn(channel: number, only: (packet: AclPacket) => boolean = goesOn): HostFault['stream'] {
  return between(({ toHost }) => ({
    down: (packet) => {
      if (packet.kind !== 'acl' || channelOf(packet) !== channel || !only(packet)) return true;
      // The host gets its buffer back, as if the packet had been sent.
      const completed = concat([1], u16le(packet.handle), u16le(1));
      toHost({ kind: 'event', code: 0x13, parameters: completed });
      return false;
    },
  }));
}

export const hostFaults: readonly HostFault[] = [
  {
    name: 'parts-not-joined',
    about: 'Only the first part of what came in several is looked at.',
    symptom: 'Long writes fail on some phones and work on others.',
    stream: between(() => ({
      up: (packet) => packet.kind !== 'acl' || packet.boundary !== boundary.continuing,
    })),
  },
  {
    name: 'parts-mixed-up',
    about: 'The parts that two clients send are joined in one buffer.',
    symptom: 'With two clients, a write of one ends in a value of the other.',
    stream: between(({ toHost }) => {
      /** Who began last: what goes on is taken for its own. */
      let began = 0;
      return {
        up: (packet) => {
          if (packet.kind !== 'acl') return true;
          if (packet.boundary !== boundary.continuing) began = packet.handle;
          else if (packet.handle !== began) {
            toHost({ ...packet, handle: began });
            return false;
          }
          return true;
        },
      };
    }),
  },
  {
    name: 'broken-frame-sticks',
    about: 'After a frame that is not whole, the next one is thrown away with it.',
    symptom: 'Now and then a request is never answered and the app hangs for 30 seconds.',
    stream: between(() => {
      /** Octets of the present frame that are due, by connection; negative when too many came. */
      const due = new Map<number, number>();
      const stuck = new Set<number>();
      return {
        up: (packet) => {
          if (packet.kind !== 'acl') return true;
          const { handle, data } = packet;
          const length = (data[0] ?? 0) | ((data[1] ?? 0) << 8);
          if (packet.boundary === boundary.continuing) {
            const left = (due.get(handle) ?? 0) - data.length;
            due.set(handle, left);
            if (left < 0) stuck.add(handle);
            return true;
          }
          const drop = stuck.delete(handle) || (due.get(handle) ?? 0) > 0;
          due.set(handle, drop ? 0 : 4 + length - data.length);
          if (!drop && data.length > 4 + length) stuck.add(handle);
          return !drop;
        },
      };
    }),
  },
  {
    name: 'unknown-channel-echoed',
    about: 'What comes on a channel that nobody opened is sent back.',
    symptom: 'A conformance tester complains; phones mostly do not notice.',
    stream: between(({ toController }) => ({
      up: (packet) => {
        const channel = channelOf(packet);
        if (packet.kind !== 'acl' || channel === undefined || (channel >= 4 && channel <= 6)) return true;
        toController({ ...packet, boundary: boundary.first });
        return false;
      },
    })),
  },
  {
    name: 'signals-unanswered',
    about: 'Signalling commands are never answered.',
    symptom: 'Some phones end the link after 30 seconds.',
    stream: silentOn(0x0005, ({ data }) => data[4] !== 0x12),
  },
  {
    name: 'parameters-never-wished',
    about: 'The board takes whatever connection parameters it is given.',
    symptom: 'Values come in bursts, and the battery lasts a week.',
    stream: silentOn(0x0005, ({ data }) => data[4] === 0x12),
  },
  {
    name: 'pairing-unanswered',
    about: 'A request for pairing is never answered.',
    symptom: 'The phone shows “pairing…” for 30 seconds and then ends the link.',
    stream: silentOn(0x0006),
  },
  {
    name: 'parameters-end-link',
    about: 'The board ends the link when the connection parameters change.',
    symptom: 'The app loses its board some seconds after it has connected.',
    stream: between(({ toController }) => ({
      up: (packet) => {
        const event = packet.kind === 'event' ? decodeEvent(packet) : undefined;
        if (event?.kind === 'le-connection-update-complete') {
          toController(encodeCommand('disconnect', { handle: event.handle, reason: 0x13 }));
        }
        return true;
      },
    })),
  },
  {
    name: 'loss-unnoticed',
    about: 'The board does not notice that a link was lost.',
    symptom: 'It cannot be found any more after a phone has left the room.',
    stream: between(() => ({
      up: (packet) => {
        const event = packet.kind === 'event' ? decodeEvent(packet) : undefined;
        return event?.kind !== 'disconnection-complete' || event.reason !== 0x08;
      },
    })),
  },
];
