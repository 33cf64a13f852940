import { us, type Microseconds } from '../base/quantity.ts';
import type { NotifyPolicy } from '../contract/model.ts';
import type { Publication } from './model.ts';

/**
 * The notification policy at work, one publication a value. It says when the value may be published; what is sent then
 * is the value of that moment, whole: the latest wins and none is torn.
 *
 * `on: change` publishes a change at once, or as soon as the shortest spacing since the last one allows. A change while
 * nobody is subscribed is not kept for later: who subscribes reads first. `on: every` publishes at once when the first
 * client has subscribed and every period from then on, whether the value changed or not; it rests when the last client
 * unsubscribes.
 */
export const atRest: Publication = { pending: false, last: undefined, due: undefined };

/** The value changed. */
export function afterChange(publication: Publication, policy: NotifyPolicy, subscribed: boolean): Publication {
  if (policy.on.kind === 'every' || !subscribed || publication.pending) return publication;
  return { ...publication, pending: true };
}

/** Somebody subscribed or unsubscribed; `subscribed`: at least one client is now. */
export function afterSubscription(
  publication: Publication,
  policy: NotifyPolicy,
  subscribed: boolean,
  at: Microseconds,
): Publication {
  if (!subscribed) return { ...publication, pending: false, due: undefined };
  if (policy.on.kind === 'change' || publication.due !== undefined) return publication;
  return { ...publication, due: earliest(publication, policy, at) };
}

/** When the value is to be published; `undefined`: not before something happens. */
export function dueTime(publication: Publication, policy: NotifyPolicy): Microseconds | undefined {
  if (policy.on.kind === 'every') return publication.due;
  return publication.pending ? earliest(publication, policy, us(0)) : undefined;
}

/** The value was published at `at`. */
export function afterPublishing(publication: Publication, policy: NotifyPolicy, at: Microseconds): Publication {
  const sent: Publication = { pending: false, last: at, due: undefined };
  if (policy.on.kind === 'change') return sent;
  // On the grid of the first one, so that no delay adds up; after a long pause the grid starts anew.
  const onGrid = (publication.due ?? at) + policy.on.period;
  return { ...sent, due: earliest(sent, policy, us(onGrid > at ? onGrid : at + policy.on.period)) };
}

/** An indication that had waited for an earlier confirmation went out at `at`: the spacing counts from there. */
export function afterSending(publication: Publication, at: Microseconds): Publication {
  return publication.last === at ? publication : { ...publication, last: at };
}

function earliest(publication: Publication, policy: NotifyPolicy, from: Microseconds): Microseconds {
  if (publication.last === undefined || policy.minSpacing === undefined) return from;
  return us(Math.max(from, publication.last + policy.minSpacing));
}
