import { placeOf } from '../model.ts';
import { serviceRule } from './rule.ts';
import { services } from './sample.ts';

const one = `
characteristics:
  - id: count
    type: uint32
    access: [read]`;

export const serviceEmpty = serviceRule<{ name: string }>(
  {
    code: 'service-empty',
    severity: 'warning',
    title: 'Service with nothing in it',
    why: 'Clients find a service that offers nothing; most often its characteristics are indented under another one.',
    source: 'Core Vol 3 Part G 3.1; common practice',
    bad: services(`id: bench${one}`, 'id: spare\ncharacteristics: []'),
    good: services(`id: bench${one}`),
    message: ({ name }) => `service \`${name}\` has no characteristics and includes no service`,
    hint: () => 'add its characteristics, or delete the service',
  },
  (service, report) => {
    if (service.origin !== 'own' || service.characteristics.length > 0 || service.includes.length > 0) return;
    report(placeOf(service.where, 'id'), { name: service.id });
  },
  { needsWhole: true },
);
