import { us, type Microseconds } from '../../../base/quantity.ts';
import type { Link } from '../link.ts';

/**
 * Events from now to an instant besides those that the peripheral may sleep through. The standard asks for at least six
 * (Core Vol 6 Part B 5.1); a few more let it hear of the instant although packets are lost.
 */
const eventsAhead = 10;

/** The instant of a procedure that begins now, and its anchor point as things stand. */
export function instantIn(link: Link): { readonly event: number; readonly anchor: Microseconds } {
  const ahead = eventsAhead + link.latency;
  return { event: (link.counter + ahead) & 0xffff, anchor: us(link.anchor + ahead * link.interval) };
}

/** The peripheral has heard of an instant. */
export function noteInstant(link: Link, event: number): void {
  for (const instant of link.instants) if (instant.event === event) instant.known = true;
}
