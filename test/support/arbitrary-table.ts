import fc from 'fast-check';
import type { Table } from '../../src/table/model.ts';
import { genericServices, handTable, ownUuid, type CharacteristicSpec, type ServiceSpec } from './att-table.ts';
import { utf8 } from './contract-builder.ts';

const uuid = fc.oneof(
  fc.nat(0xfff).map((n) => (0x2a00 + n).toString(16).toUpperCase()),
  fc.nat(0xffff).map(ownUuid),
);

const characteristic: fc.Arbitrary<CharacteristicSpec> = fc
  .record({
    uuid,
    access: fc.subarray(['read', 'write', 'write-without-response', 'notify', 'indicate'] as const, { minLength: 1 }),
    label: fc.option(fc.record({ text: fc.uint8Array({ maxLength: 10 }), writable: fc.boolean() })),
    long: fc.boolean(),
  })
  .map(({ uuid: type, access, label, long }) => ({
    id: 'any',
    uuid: type,
    access,
    ...(label === null ? {} : { label }),
    ...(long ? { type: utf8(100), start: new Uint8Array(70).fill(0x61) } : {}),
  }));

const service: fc.Arbitrary<Omit<ServiceSpec, 'at'> & { readonly gap: number }> = fc.record({
  uuid,
  secondary: fc.boolean(),
  characteristics: fc.array(characteristic, { maxLength: 5 }),
  includes: fc.array(fc.record({ uuid: fc.constantFrom('180F', '180A'), start: fc.constant(1), end: fc.constant(5) }), {
    maxLength: 3,
  }),
  gap: fc.constantFrom(0, 0, 1, 40),
});

/** Tables of any shape, with gaps between services, made by hand. Includes have 16-bit UUIDs. */
export const arbitraryTable: fc.Arbitrary<Table> = fc.array(service, { maxLength: 6 }).map((services) => {
  const specs: ServiceSpec[] = [...genericServices()];
  let next = 14;
  for (const { gap, ...spec } of services) {
    const at = next + gap;
    specs.push({ ...spec, at });
    next = handTable([{ ...spec, at }]).rows.at(-1)!.handle + 1;
  }
  return handTable(specs);
});
