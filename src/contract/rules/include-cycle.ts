import { placeOf, type Service } from '../model.ts';
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
    const byId = new Map(contract.services.map((service) => [service.id, service]));
    const told = new Set<string>();
    for (const service of endless(contract.services)) {
      if (told.has(service.id)) continue;
      const circle = circleFrom(service, byId);
      if (circle === undefined) continue;
      for (const id of circle) told.add(id);
      report(placeOf(service.where, 'includes'), { path: names(circle) });
    }
  },
);

/**
 * The services from which includes lead on for ever: those on a circle, and those that lead to one. All others fall away
 * when services without open includes are taken out again and again; linear in services and includes.
 */
function endless(all: readonly Service[]): readonly Service[] {
  const includers = new Map<string, Service[]>();
  const open = new Map<string, number>();
  for (const service of all) {
    open.set(service.id, service.includes.length);
    for (const id of service.includes) {
      const known = includers.get(id);
      if (known === undefined) includers.set(id, [service]);
      else known.push(service);
    }
  }
  const ended = all.filter(({ includes }) => includes.length === 0);
  for (const { id } of ended) {
    for (const includer of includers.get(id) ?? []) {
      const left = (open.get(includer.id) ?? 0) - 1;
      open.set(includer.id, left);
      if (left === 0) ended.push(includer);
    }
  }
  return all.filter(({ id }) => (open.get(id) ?? 0) > 0);
}

/** The ids on the shortest way from the service back to itself. */
function circleFrom(service: Service, byId: ReadonlyMap<string, Service>): readonly string[] | undefined {
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
