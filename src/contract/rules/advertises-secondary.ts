import { placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { services } from './sample.ts';

const count = `
characteristics:
  - id: ID-count
    type: uint32
    access: [read]`;
const pair = (advertised: string): string =>
  services(
    `id: bench\nincludes: [wiring]${count.replace('ID', 'bench')}`,
    `id: wiring\nsecondary: true${count.replace('ID', 'wiring')}`,
  ).replace('services:', `radio:\n  advertise: { services: [${advertised}] }\nservices:`);

export const advertisesSecondary = contractRule<{ name: string }>(
  {
    code: 'advertises-secondary',
    severity: 'warning',
    title: 'Advertised service that is secondary',
    why: 'Advertised UUIDs are those of primary services; a client that connects for this one does not find it among them.',
    source: 'Core Specification Supplement Part A 1.1',
    bad: pair('wiring'),
    good: pair('bench'),
    message: ({ name }) => `service \`${name}\` is advertised, but secondary`,
    hint: () => 'advertise the primary service that includes it',
  },
  (contract, report) => {
    const { advertise } = contract.radio;
    for (const id of advertise.services) {
      const service = contract.services.find((entry) => entry.id === id);
      if (service?.secondary === true) report(placeOf(advertise.where, 'services'), { name: id });
    }
  },
  // By default the first service is advertised, which need not be the first that could be read.
  { needsWhole: true },
);
