import { placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { services } from './sample.ts';

const bench = (id: string, handles: string): string => `id: ${id}
handles: ${handles}
characteristics:
  - id: ${id}-count
    type: uint32
    access: [read]`;

export const pinnedWithoutReserve = contractRule<{ name: string; next: string }>(
  {
    code: 'pinned-without-reserve',
    severity: 'note',
    title: 'Pinned handles without room to grow',
    why: 'The next characteristic added to the service would run into the pinned one behind it, and moving that breaks the clients that pinning was for.',
    source: 'common practice',
    bad: services(bench('gauge', '{ from: 0x0020 }'), bench('mixer', '{ from: 0x0028 }')),
    good: services(bench('gauge', '{ from: 0x0020, reserve: 12 }'), bench('mixer', '{ from: 0x0040, reserve: 12 }')),
    message: ({ name, next }) =>
      `service \`${name}\` has pinned handles and \`${next}\` is pinned behind it, but no handles are reserved between them`,
    hint: ({ name }) =>
      `add \`reserve: COUNT\` to \`handles\` of \`${name}\`, and pin the next service that much later`,
  },
  (contract, report) => {
    const pinned = contract.services
      .flatMap((service) => (service.handles.from === undefined ? [] : [{ service, from: service.handles.from }]))
      .sort((a, b) => a.from - b.from);
    pinned.forEach(({ service, from }, i) => {
      const next = pinned[i + 1];
      if (next === undefined || service.handles.reserve > 0) return;
      // A gap in the numbers is room as well.
      const roomy = next.from - from > 6 * (service.characteristics.length + 1);
      if (!roomy) report(placeOf(service.where, 'handles'), { name: service.id, next: next.service.id });
    });
  },
);
