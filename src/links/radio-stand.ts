import type { Clock } from '../base/clock.ts';
import { AirRecorder } from '../capture/air-recorder.ts';
import { H4Recorder } from '../capture/h4-recorder.ts';
import type { PcapngWriter } from '../capture/pcapng-writer.ts';
import type { H4Port } from '../hci/h4-port.ts';
import { RadioRoom } from '../radio/radio-room.ts';
import type { HostedBoard } from './hosted-board.ts';

export type RadioStandOptions = {
  readonly clock: Clock;
  readonly seed: number;
  /** Chance that one packet is lost, 0 <= p < 1. */
  readonly loss: number;
  readonly record?: PcapngWriter | undefined;
};

/** Joins the far ends of two streams: what one brings, the other gets. */
function join(host: H4Port, controller: H4Port): void {
  host.onOctets((octets) => {
    controller.send(octets);
  });
  controller.onOctets((octets) => {
    host.send(octets);
  });
}

/**
 * A room with a board in it and a place for a host that comes from outside: one at a time, each on a controller that was
 * just switched on.
 */
export class RadioStand {
  readonly #room: RadioRoom;
  readonly #recorder: H4Recorder | undefined;
  #taken = false;

  constructor(board: HostedBoard, options: RadioStandOptions) {
    const { clock, seed, loss, record } = options;
    this.#room = new RadioRoom({ clock, seed, packetErrorRate: loss });
    if (record !== undefined) {
      const air = new AirRecorder(record);
      this.#room.observe((packet) => {
        air.take(packet);
      });
      this.#recorder = new H4Recorder(record, clock, 'host');
    }
    const own = this.#room.addController({ address: '02:67:77:00:00:00', name: 'board' });
    board.start(record === undefined ? own.port : new H4Recorder(record, clock, 'board').tap(own.port));
  }

  /**
   * Gives a host its controller until its stream ends.
   *
   * @returns false when another host has it
   */
  admit(host: H4Port, onEnd: () => void): boolean {
    if (this.#taken) return false;
    this.#taken = true;
    const controller = this.#room.addController({ address: '02:67:77:00:00:01', name: 'host' });
    join(host, this.#recorder?.tap(controller.port) ?? controller.port);
    host.onClose(() => {
      // Its links fall silent: the board notices at its supervision timeout, as with a host that lost power.
      controller.remove();
      this.#taken = false;
      onEnd();
    });
    return true;
  }
}
