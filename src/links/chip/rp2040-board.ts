import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Cancel, Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { ConsolePort } from '../../att/link.ts';
import type { H4Port } from '../../hci/h4-port.ts';
import { EarlyOctets, streamConsole } from '../console-stream.ts';
import type { HostedBoard, MakeBoard } from '../hosted-board.ts';
import { buildImage } from './image.ts';
import { Rp2040Chip } from './rp2040-chip.ts';

/** The longest the chip runs before what it sent is handed on, microseconds. */
const slice = 1000;

/**
 * The emitted firmware's real ARM image on an emulated RP2040, on a clock: H4 on its first UART, the console on its second.
 * Its values are moved by its own program, by clients and on its console; the rig of the virtual board does not reach it.
 */
class Rp2040Board implements HostedBoard {
  readonly name = 'firmware on an emulated RP2040';
  readonly console: ConsolePort;
  readonly #clock: Clock;
  readonly #chip: Rp2040Chip;
  readonly #printed = new EarlyOctets();
  #controller: H4Port | undefined;
  #wake: Cancel | undefined;
  #startedAt = us(0);
  #running = false;

  constructor(image: Uint8Array, clock: Clock) {
    this.#clock = clock;
    this.#chip = new Rp2040Chip(image);
    this.console = streamConsole({
      send: (octets) => {
        this.#soon(() => {
          this.#chip.type(octets);
        });
      },
      onOctets: (listener) => {
        this.#printed.listen(listener);
      },
      onClose: () => undefined,
    });
  }

  start(controller: H4Port): void {
    this.#startedAt = this.#clock.now();
    this.#controller = controller;
    controller.onOctets((octets) => {
      this.#soon(() => {
        this.#chip.fromController(octets);
      });
    });
    this.#running = true;
    this.#live();
  }

  stop(): void {
    this.#running = false;
    this.#wake?.();
  }

  /** What comes from outside reaches the chip at the next turn of the clock, never in the middle of its own. */
  #soon(act: () => void): void {
    this.#clock.schedule(this.#clock.now(), () => {
      if (!this.#running) return;
      this.#runToNow();
      act();
      this.#live();
    });
  }

  /** Runs the chip up to now, hands on what it sent, and comes back when it may have more. */
  #live(): void {
    this.#runToNow();
    const sent = this.#chip.radio.splice(0);
    const printed = this.#chip.console.splice(0);
    this.#wake?.();
    const rest = Math.max(slice, Math.floor(this.#chip.restsFor()));
    this.#wake = this.#clock.schedule(us(this.#clock.now() + rest), () => {
      this.#live();
    });
    if (sent.length > 0) this.#controller?.send(Uint8Array.from(sent));
    if (printed.length > 0) this.#printed.put(Uint8Array.from(printed));
  }

  #runToNow(): void {
    this.#chip.runTo(this.#clock.now() - this.#startedAt);
  }
}

export const makeBoard: MakeBoard = (table, { clock }) => {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-board-'));
  try {
    const built = buildImage(table, folder, 'rp2040');
    if (!built.ok) return Promise.resolve(built);
    return Promise.resolve({ ok: true, board: new Rp2040Board(readFileSync(`${built.image}.bin`), clock) });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};
