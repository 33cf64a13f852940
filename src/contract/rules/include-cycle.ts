import { placeOf, type Contract, type Service } from '../model.ts';
import { contractRule } from './rule.ts';
import { services } from './sample.ts';
import { names } from './words.ts';

const bench = (id: string, includes: string): string => `id: ${id}
includes: [${includes}]
characteristics:
  - id: ${id}-count
    type: uint32
    access: [read]`;

export const includeCycle = contractRule<{ path: string }>(
  {
    code: 'include-cycle',
    severity: 'error',
    title: 'Services that include each other',
    why: 'A client that follows includes would go round for ever; the standard forbids it.',
    source: 'Core Vol 3 Part G 2.6.3',
    bad: services(bench('gauge', 'mixer'), bench('mixer', 'gauge')),
    good: services(bench('gauge', 'mixer'), bench('mixer', '')),
    message: ({ path }) => `services ${path} include each other in a circle`,
    hint: () => 'take one of the services out of `includes`',
  },
  (contract, report) => {
    const reported = new Set<string>();
    for (const service of contract.services) {
      const circle = circleFrom(service, contract);
      if (circle === undefined) continue;
      const key = [...circle].sort().join(' ');
      if (reported.has(key)) continue;
      reported.add(key);
      report(placeOf(service.where, 'includes'), { path: names(circle) });
    }
  },
);

/** The ids on the shortest way from the service back to itself. */
function circleFrom(service: Service, contract: Contract): readonly string[] | undefined {
  const byId = new Map(contract.services.map((entry) => [entry.id, entry]));
  const came = new Map<string, string>();
  const open = [service.id];
  for (let id = open.shift(); id !== undefined; id = open.shift()) {
    for (const next of byId.get(id)?.includes ?? []) {
      if (next === service.id) return wayTo(id, service.id, came);
      if (came.has(next)) continue;
      came.set(next, id);
      open.push(next);
    }
  }
  return undefined;
}

function wayTo(end: string, start: string, came: ReadonlyMap<string, string>): readonly string[] {
  const way = [end];
  for (let id = end; id !== start;) {
    const before = came.get(id);
    if (before === undefined) break;
    way.unshift(before);
    id = before;
  }
  return way;
}
