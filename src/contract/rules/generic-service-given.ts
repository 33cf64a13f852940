import { serviceRule } from './rule.ts';
import { services } from './sample.ts';
import { uuidPlace } from './holders.ts';

const one = `
characteristics:
  - id: title
    type: utf8
    length: [0, 20]
    access: [read]`;

export const genericServiceGiven = serviceRule<{ name: string; label: string }>(
  {
    code: 'generic-service-given',
    severity: 'error',
    title: 'GAP or GATT service in the contract',
    why: 'Both come by themselves, with name, appearance, Service Changed and database hash, and a server has exactly one of each.',
    source: 'Core Vol 3 Part C 12 and Part G 7',
    bad: services(`id: access\nuuid: 0x1800${one}`),
    good: services(`id: access${one}`),
    message: ({ name, label }) => `service \`${name}\` is the ${label} service, which every table has by itself`,
    hint: () => 'delete the service; set its values in `board:`',
  },
  (service, report) => {
    if (service.uuid !== '1800' && service.uuid !== '1801') return;
    report(uuidPlace(service.where), {
      name: service.id,
      label: service.uuid === '1800' ? 'Generic Access' : 'Generic Attribute',
    });
  },
);
