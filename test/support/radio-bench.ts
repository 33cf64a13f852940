import { VirtualClock } from '../../src/base/clock.ts';
import { us } from '../../src/base/quantity.ts';
import type { AirPacket } from '../../src/radio/air-packet.ts';
import type { CommandParameters } from '../../src/hci/commands/codec.ts';
import type { ControllerOptions } from '../../src/radio/controller/core.ts';
import type { VirtualController } from '../../src/radio/controller/virtual-controller.ts';
import { RadioRoom, type RadioRoomOptions } from '../../src/radio/radio-room.ts';
import { HciProbe } from './hci-probe.ts';

export const addressOf = (i: number): string => `00:1b:dc:00:00:${i.toString(16).padStart(2, '0')}`;

/** A room with a host of a test's own at every controller. The first controller is meant to be the central. */
export class RadioBench {
  readonly clock = new VirtualClock();
  readonly room: RadioRoom;
  readonly controllers: VirtualController[] = [];
  readonly hosts: HciProbe[] = [];
  readonly packets: AirPacket[] = [];

  constructor(
    options: Partial<RadioRoomOptions> & {
      readonly watch?: boolean;
      readonly boards?: number;
      readonly each?: Partial<ControllerOptions>;
    } = {},
  ) {
    const { watch, boards, each, ...rest } = options;
    this.room = new RadioRoom({ clock: this.clock, seed: 1, ...rest });
    if (watch === true) this.room.observe((packet) => void this.packets.push(packet));
    for (let i = 0; i <= (boards ?? 1); i++) {
      const controller = this.room.addController({ address: addressOf(i), name: `board ${i}`, ...each });
      const host = new HciProbe(controller.port, this.clock);
      this.controllers.push(controller);
      this.hosts.push(host);
      host.bringUp();
    }
  }

  get central(): HciProbe {
    return this.hosts[0]!;
  }

  get board(): HciProbe {
    return this.hosts[1]!;
  }

  advance(ms: number): void {
    this.clock.advance(us(ms * 1000));
  }

  /** Connects the central to board i; gives the handles. */
  connect(i = 1, options: Partial<CommandParameters<'le-create-connection'>> = {}): { central: number; board: number } {
    const board = this.hosts[i]!;
    board.advertise();
    const before = this.central.all('le-connection-complete').length;
    this.central.create(addressOf(i), options);
    for (let tries = 0; tries < 100; tries++) {
      if (this.central.all('le-connection-complete').length > before) break;
      this.advance(20);
    }
    return {
      central: this.central.last('le-connection-complete').handle,
      board: board.last('le-connection-complete').handle,
    };
  }
}
