import type { ConsolePort, CrossedPdu, Link } from '../../att/link.ts';
import type { RigWord } from './protocol.ts';

/** The board on the panel as a session uses it, whatever it is made of. */
export type BoardSource = {
  /** Reaches it; its console, where it has one, takes typed lines. */
  readonly link: Link;
  readonly advertising: boolean;
  /** The board's own clock, milliseconds since power-up. */
  ms(): number;
  /** CCCD bits of the page's client by value index; values that are not here are not subscribed. */
  subscriptions(): readonly (readonly [number, number])[];
  /** Which world moves its values. */
  readonly rig: RigWord;
  /** The state of that world, plain data, where the page can draw it. */
  world(): unknown;
  /**
   * For a real board, whose clock is its own, and which must be asked for what it holds: begins to ask.
   *
   * @param console the one that is observed
   */
  begin?(console: ConsolePort): void;
  /** Powers it down. */
  stop(): void;
};

export type SourceEvents = {
  /** Each line its console prints, from power-up on. */
  readonly onLine: (line: string) => void;
  /** It began or ended to advertise. */
  readonly onAdvertising: () => void;
  readonly onCrossed: (crossed: CrossedPdu) => void;
};

/** Powers the board up. */
export type OpenSource = (events: SourceEvents) => BoardSource;

/** The page's client as the board knows it. */
export const identity = 'page';

/** The packets a connection remembers: nothing in the page reads them back. */
export const keptPdus = 64;
