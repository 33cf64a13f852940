import { ConsoleLogger, LogLevel, RP2040 } from 'rp2040js';
import { bug } from '../../base/bug.ts';

/** Nanoseconds of a cycle at 125 MHz. */
const cycle = 8;

/** The emulator's own clock, which its types do not name. */
type VirtualTime = { readonly nanos: number; readonly nanosToNextAlarm: number; tick(nanoseconds: number): void };

/** An emulated RP2040 that runs an image from its first flash octet on, as its boot ROM would, in virtual time. */
export class Rp2040Chip {
  readonly #mcu = new RP2040();
  /** Octets it sent to its controller, until somebody takes them. */
  readonly radio: number[] = [];
  /** Octets of its console, as `radio`. */
  readonly console: number[] = [];
  instructions = 0;

  constructor(image: Uint8Array) {
    const mcu = this.#mcu;
    // Unaligned words and the like must not pass unseen.
    mcu.logger = new ConsoleLogger(LogLevel.Error, true);
    mcu.flash.set(image);
    // The boot ROM copies the second stage to the end of the RAM and runs it there: data sheet 2.8.1.3.1.
    mcu.sram.set(image.subarray(0, 256), 0x41f00);
    mcu.core.SP = 0x20041f00;
    mcu.core.PC = 0x20041f00;
    this.#uart(0).onByte = (octet) => {
      this.radio.push(octet);
    };
    this.#uart(1).onByte = (octet) => {
      this.console.push(octet);
    };
  }

  /** Lets so much of the chip's time pass; while it sleeps, straight to the next alarm. */
  run(milliseconds: number): void {
    this.#runUntil(this.#clock.nanos + milliseconds * 1e6);
  }

  /** Runs it until so many microseconds have passed since power-up; does nothing when they have. */
  runTo(microseconds: number): void {
    this.#runUntil(microseconds * 1000);
  }

  /** Microseconds for which it sleeps if nothing arrives; 0 while it is awake. */
  restsFor(): number {
    return this.#mcu.core.waiting ? this.#clock.nanosToNextAlarm / 1000 : 0;
  }

  type(octets: Iterable<number>): void {
    this.#feed(1, octets);
  }

  fromController(octets: Iterable<number>): void {
    this.#feed(0, octets);
  }

  /** An octet each 10 microseconds, as at 1 Mbit/s. */
  #feed(uart: 0 | 1, octets: Iterable<number>): void {
    for (const octet of octets) {
      this.#uart(uart).feedByte(octet);
      this.run(0.01);
    }
  }

  get #clock(): VirtualTime {
    return this.#mcu.clock as unknown as VirtualTime;
  }

  #runUntil(end: number): void {
    const { core } = this.#mcu;
    const clock = this.#clock;
    while (clock.nanos < end) {
      if (!core.waiting) {
        clock.tick(core.executeInstruction() * cycle);
        this.instructions += 1;
      } else if (core.checkForInterrupts()) core.waiting = false;
      else clock.tick(Math.min(clock.nanosToNextAlarm || 1000, end - clock.nanos));
    }
  }

  #uart(number: 0 | 1): RP2040['uart'][number] {
    const uart = this.#mcu.uart[number];
    bug(uart !== undefined, 'the chip has two UARTs');
    return uart;
  }
}
