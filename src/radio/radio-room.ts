import { bug } from '../base/bug.ts';
import type { Clock } from '../base/clock.ts';
import { seededRandom, type Random } from '../base/random.ts';
import { Advertiser } from './advertising/advertiser.ts';
import { Scanner } from './advertising/scanner.ts';
import { Air, type AirObserver, type Interference } from './air.ts';
import { Connector } from './connector.ts';
import type { ControllerOptions } from './controller/core.ts';
import { VirtualController } from './controller/virtual-controller.ts';
import { addressOctets } from '../hci/address.ts';
import { Radio } from './radio.ts';

export type RadioRoomOptions = {
  /** Virtual or real: the room only asks it for the time and to be called. */
  readonly clock: Clock;
  /** Determines all chance in the room, 32 bits. */
  readonly seed: number;
  /** Chance that one packet is lost on its way, 0 <= p < 1; 0 if not given. */
  readonly packetErrorRate?: number;
  /** Sees every packet on the air, at its end. */
  readonly observer?: AirObserver;
};

/** Streams of random numbers of one room: each thing has its own, so that none depends on what the others draw. */
const streams = { connector: 0, radio: 1, host: 2, advertiser: 3, connection: 4 } as const;

/**
 * A room of virtual controllers that hear one another. Same seed and same octets from the hosts at the same times: same
 * octets to the hosts, same packets on the air. What the room models and what it does not is told in docs/radio.md.
 */
export class RadioRoom {
  readonly #air: Air;
  readonly #seed: number;
  readonly #connector: Connector;
  readonly #controllers: VirtualController[] = [];
  readonly #advertisers = new Set<Advertiser>();
  /** Those that listen. */
  readonly #listening = new Set<Scanner>();
  #joined = 0;

  constructor(options: RadioRoomOptions) {
    this.#air = new Air(options.clock, checkedRate(options.packetErrorRate ?? 0));
    this.#seed = options.seed;
    const connection = (number: number): Random => this.#random(streams.connection, number);
    this.#connector = new Connector(this.#air, this.#random(streams.connector, 0), connection);
    if (options.observer !== undefined) this.#air.observe(options.observer);
  }

  get controllers(): readonly VirtualController[] {
    return this.#controllers;
  }

  addController(options: ControllerOptions): VirtualController {
    bug(addressOctets(options.address) !== undefined, `address ${options.address} is not six octets`);
    const id = this.#joined++;
    const radio = new Radio(id, options.name ?? options.address, this.#random(streams.radio, id));
    const controller: VirtualController = new VirtualController(
      this.#air,
      radio,
      this.#random(streams.host, id),
      options,
      {
        beforeMute: () => {
          this.#catchUp();
        },
        removed: () => {
          this.#remove(controller);
        },
      },
    );
    const { core } = controller;
    const scanner = new Scanner(this.#air, radio, ({ type, from, data, rssi }) => {
      const report = { type, addressType: from.type, address: from.address, data, rssi };
      core.event('le-advertising-report', { reports: [report] });
    });
    core.scanner = scanner;
    core.onListening = () => {
      this.#listens(scanner);
    };
    const delays = this.#random(streams.advertiser, id);
    core.advertiser = new Advertiser(this.#air, radio, delays, this.#listening, this.#connector);
    this.#advertisers.add(core.advertiser);
    this.#connector.add(core);
    this.#controllers.push(controller);
    return controller;
  }

  /** Sees every packet from now on, each at its end; returns how to look away again. */
  observe(observer: AirObserver): () => void {
    this.#catchUp();
    const stop = this.#air.observe(observer);
    this.#wake();
    return stop;
  }

  /** Decides about each packet before chance does; `undefined`: no more. */
  interfere(interference: Interference | undefined): void {
    this.#catchUp();
    this.#air.interfere(interference);
    this.#wake();
  }

  /** Chance that a packet is lost, on every path from now on. */
  setPacketErrorRate(rate: number): void {
    this.#catchUp();
    this.#air.setRate(checkedRate(rate));
  }

  /** As {@link setPacketErrorRate}, between two controllers only. */
  setPathErrorRate(a: VirtualController, b: VirtualController, rate: number): void {
    this.#catchUp();
    this.#air.setPathRate(a.core.radio, b.core.radio, checkedRate(rate));
  }

  /** Signal strength that two controllers see of each other, dBm, -127..20; -60 unless set. */
  setSignal(a: VirtualController, b: VirtualController, dbm: number): void {
    this.#air.setSignal(a.core.radio, b.core.radio, dbm);
  }

  /** What is due by now on the connections is done. */
  #catchUp(): void {
    for (const link of [...this.#connector.links.values()]) link.act(() => undefined);
  }

  /** Nothing may be skipped from now on. */
  #wake(): void {
    this.#catchUp();
    for (const advertiser of this.#advertisers) advertiser.wake();
  }

  #remove(controller: VirtualController): void {
    const { advertiser, scanner } = controller.core;
    this.#controllers.splice(this.#controllers.indexOf(controller), 1);
    this.#advertisers.delete(advertiser);
    this.#listening.delete(scanner);
    this.#connector.remove(controller.core);
  }

  #listens(scanner: Scanner): void {
    if (!scanner.active) {
      this.#listening.delete(scanner);
      return;
    }
    this.#listening.add(scanner);
    for (const advertiser of this.#advertisers) advertiser.wake();
  }

  #random(stream: number, number: number): Random {
    return seededRandom((Math.imul(this.#seed, 0x9e37_79b1) ^ (stream * 0x1_0000 + number)) >>> 0);
  }
}

function checkedRate(rate: number): number {
  bug(rate >= 0 && rate < 1, `packet error rate ${rate} is not in 0 <= p < 1`);
  return rate;
}
