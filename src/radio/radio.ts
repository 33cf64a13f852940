import type { Microseconds } from '../base/quantity.ts';
import type { Random } from '../base/random.ts';

/** What one radio does at fixed times of its own: a connection, whose events come first. */
export type Appointment = {
  /** Whether an event of it overlaps the time from `from` to `to`. */
  overlaps(from: Microseconds, to: Microseconds): boolean;
};

/** One controller's transceiver: it can do one thing at a time. */
export class Radio {
  /** Counts from 0 in the order of joining the room. */
  readonly id: number;
  readonly name: string;
  /** Decides what it hears on advertising channels. */
  readonly random: Random;
  /** Neither sends nor hears. */
  muted = false;
  readonly appointments = new Set<Appointment>();
  /** A scanner's exchange of packets keeps it from hearing others until then. */
  exchangeUntil = 0;

  constructor(id: number, name: string, random: Random) {
    this.id = id;
    this.name = name;
    this.random = random;
  }

  /** Whether no connection event needs the radio from `from` to `to`. */
  free(from: Microseconds, to: Microseconds): boolean {
    for (const appointment of this.appointments) if (appointment.overlaps(from, to)) return false;
    return true;
  }
}
