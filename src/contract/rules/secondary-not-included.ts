import { placeOf } from '../model.ts';
import { removeKey } from './edits.ts';
import { serviceRule } from './rule.ts';
import { services } from './sample.ts';

const main = `id: bench
characteristics:
  - id: count
    type: uint32
    access: [read]`;
const spare = `id: wiring
secondary: true
characteristics:
  - id: channels
    type: uint8
    access: [read]`;

export const secondaryNotIncluded = serviceRule<{ name: string }>(
  {
    code: 'secondary-not-included',
    severity: 'warning',
    title: 'Secondary service that nothing includes',
    why: 'Clients discover primary services and what those include; a secondary service by itself is never found.',
    source: 'Core Vol 3 Part G 3.1 and 4.5.1',
    bad: services(main, spare),
    good: services(`${main}\nincludes: [wiring]`, spare),
    message: ({ name }) => `service \`${name}\` is secondary, but no service includes it`,
    hint: ({ name }) => `add \`includes: [${name}]\` to the service that builds on it, or delete \`secondary\``,
  },
  (service, report, contract, text) => {
    if (
      !service.secondary ||
      contract.services.some((other) => other.id !== service.id && other.includes.includes(service.id))
    )
      return;
    const fixes = [removeKey(text, service.where, 'secondary', 'Make it primary')];
    report(placeOf(service.where, 'secondary'), { name: service.id }, { fixes });
  },
  { needsWhole: true },
);
