import type { Finding } from '../base/finding.ts';
import { handlesExhausted, handleTaken } from './findings.ts';
import type { Handle } from './model.ts';
import { attributeCount, type PlannedService } from './plan.ts';

/** The handles of a service: declaration to last attribute, both inclusive. */
export type HandleRange = { readonly start: Handle; readonly end: Handle };

const lastHandle = 0xffff;

export type Placement = {
  /** One for each service, in their order; ends early where the handles do. */
  readonly ranges: readonly HandleRange[];
  readonly findings: readonly Finding[];
};

/**
 * Gives each service its handles: one behind the other from 0x0001, a pinned one at its pin, `reserve` handles free
 * behind it. A pin that is taken is reported and the service placed at the next free handle.
 */
export function placeServices(services: readonly PlannedService[]): Placement {
  const ranges: HandleRange[] = [];
  const findings: Finding[] = [];
  let free = 1;
  for (const [i, service] of services.entries()) {
    const { id, from, reserve, handlesAt } = service;
    if (from !== undefined && from < free) {
      const reserved = free - 1 > (ranges[i - 1]?.end ?? 0);
      const before = services[i - 1];
      const related =
        before === undefined || before.generic
          ? []
          : [{ message: `\`${before.id}\` ${reserved ? 'reserves' : 'takes'} them`, at: before.handlesAt }];
      findings.push(handleTaken.at(handlesAt, { service: id, from, free, reserved }, { related }));
    }
    const start = Math.max(free, from ?? free);
    const needed = attributeCount(service);
    if (start + needed - 1 > lastHandle) {
      // Without a handle to name, the last one is where the table stopped.
      findings.push(handlesExhausted.at(handlesAt, { service: id, needed, first: Math.min(start, lastHandle) }));
      break;
    }
    ranges.push({ start, end: start + needed - 1 });
    free = start + needed + reserve;
  }
  return { ranges, findings };
}
