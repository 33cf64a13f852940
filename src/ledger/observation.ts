import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';

/**
 * One thing that was seen of a board, as a journal keeps it: lines of its console and values that crossed the air. The
 * ledger is made from these alone, so that a replay comes to what the session came to. Times are the host's own clock,
 * counted from the start of the session, and never go back.
 */
export type Observation =
  /** A whole line that the board printed, without its line end; noise too. */
  | { readonly kind: 'printed'; readonly at: Microseconds; readonly line: string }
  /** A line that was typed on the board's console. */
  | { readonly kind: 'typed'; readonly at: Microseconds; readonly line: string }
  /** A connection began, or its MTU changed. `mtu` is `undefined` where the link hides it. */
  | { readonly kind: 'connected'; readonly at: Microseconds; readonly connection: number; readonly mtu: Octets }
  | { readonly kind: 'disconnected'; readonly at: Microseconds; readonly connection: number }
  /** The board accepted a subscription. */
  | (Exchange & { readonly kind: 'subscribed'; readonly mode: 'notify' | 'indicate' | 'off' })
  | (Exchange & { readonly kind: 'read'; readonly value: Bytes })
  /** Accepted by the board; without `response` it was sent, and nobody said more. */
  | (Exchange & { readonly kind: 'written'; readonly value: Bytes; readonly response: boolean })
  /** A read or write that did not succeed; `code` is the ATT error where there was one and the link shows it. */
  | (Exchange & {
      readonly kind: 'refused';
      readonly access: 'read' | 'write';
      readonly code: number | undefined;
      /** What was to be written. */
      readonly value: Bytes | undefined;
    })
  | (Arrival & { readonly kind: 'notified' })
  | (Arrival & { readonly kind: 'indicated' })
  | {
      readonly kind: 'packet';
      readonly at: Microseconds;
      readonly connection: number;
      readonly from: 'central' | 'board';
      readonly pdu: Bytes;
    };

/** `undefined` where the link hides it. */
type Octets = number | undefined;

/** An act of the central on one value, by the value's id: asked for at `asked`, over at `at`. */
type Exchange = {
  readonly asked: Microseconds;
  readonly at: Microseconds;
  readonly connection: number;
  readonly id: string;
};

type Arrival = {
  readonly at: Microseconds;
  readonly connection: number;
  readonly id: string;
  readonly value: Bytes;
};

/** How a value crossed the air. */
export type Way = 'read' | 'written' | 'notified' | 'indicated';
