import type { Clock } from '../base/clock.ts';
import type { GattClientOptions } from '../att/gatt-client.ts';
import type { Link } from '../att/link.ts';
import type { HostFault } from '../board/faults/link.ts';
import { AirRecorder } from '../capture/air-recorder.ts';
import { H4Recorder } from '../capture/h4-recorder.ts';
import type { PcapngWriter } from '../capture/pcapng-writer.ts';
import type { H4Port } from '../hci/h4-port.ts';
import { RadioRoom } from '../radio/radio-room.ts';
import type { Table } from '../table/model.ts';
import type { HostedBoard } from './hosted-board.ts';
import { radioLink } from './radio-link.ts';

export type VirtualRadioOptions = {
  readonly clock: Clock;
  /** A whole number, 0..2^32-1; default 1: all chance on the air. */
  readonly seed?: number | undefined;
  /** Chance that one packet is lost, 0 <= p < 1; default 0. */
  readonly loss?: number | undefined;
  /** For the client of each connection. */
  readonly client?: GattClientOptions | undefined;
  /** Takes everything that crosses: the air, and the HCI of the board and of each central. */
  readonly record?: PcapngWriter | undefined;
  /** A planted fault between the board's host and its controller. */
  readonly fault?: HostFault | undefined;
};

/** The board's controller and those of the centrals, counted from the second. Locally administered, so nobody's own. */
const addressOf = (number: number): string => `02:67:77:00:00:${number.toString(16).padStart(2, '0')}`;

/**
 * A room of its own for one board: the board behind a controller, and a controller for each client that connects. Starts
 * the board; closing the link leaves it running.
 */
export function virtualRadio(table: Table, board: HostedBoard, options: VirtualRadioOptions): Link {
  const { clock, seed = 1, loss = 0, client, record, fault } = options;
  const room = new RadioRoom({ clock, seed, packetErrorRate: loss });
  if (record !== undefined) {
    const air = new AirRecorder(record);
    room.observe((packet) => {
      air.take(packet);
    });
  }
  const recorded = (port: H4Port, name: string): H4Port =>
    record === undefined ? port : new H4Recorder(record, clock, name).tap(port);

  const own = room.addController({ address: addressOf(0), name: 'board' });
  const port = recorded(own.port, 'board');
  board.start(fault === undefined ? port : fault.stream(port));
  let controllers = 0;
  return radioLink({
    name: `${board.name}, over the virtual radio`,
    clock,
    table,
    // Nobody else in the room takes connections.
    isBoard: ({ connectable }) => connectable,
    controller: (identity) => {
      controllers += 1;
      const controller = room.addController({ address: addressOf(controllers), name: identity });
      return {
        port: recorded(controller.port, identity),
        address: undefined,
        power: {
          off: () => {
            controller.powerOff();
          },
          on: () => {
            controller.powerOn();
          },
        },
      };
    },
    virtual: true,
    console: board.console,
    client,
  });
}
