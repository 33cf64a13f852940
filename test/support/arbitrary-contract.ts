import fc from 'fast-check';
import { uuid16, type Uuid } from '../../src/base/uuid.ts';
import type { AccessWord, Characteristic, Contract, Need, Service } from '../../src/contract/model.ts';
import { arbitraryType } from './arbitrary-type.ts';
import { characteristic, contract, given, service } from './contract-builder.ts';

const need = fc.constantFrom<Need>('open', 'encrypted', 'authenticated', 'secure-connections');
const words: readonly AccessWord[] = ['read', 'write', 'write-without-response', 'notify', 'indicate'];

function anyCharacteristic(id: string): fc.Arbitrary<Characteristic> {
  return fc
    .record({
      type: arbitraryType(1),
      access: fc.subarray([...words], { minLength: 1 }),
      needs: fc.record({ read: need, write: need, subscribe: need }),
      label: fc.string({ unit: 'binary', maxLength: 40 }),
      uuid: fc.option(anyShortUuid, { nil: undefined }),
      adopted: fc.constantFrom(undefined, 'temperature'),
      reliableWrite: fc.boolean(),
      writableLabel: fc.boolean(),
      labelled: fc.boolean(),
    })
    .map(({ type, uuid, labelled, ...rest }) =>
      characteristic(id, type, {
        ...rest,
        ...(uuid === undefined ? {} : { uuid }),
        ...(labelled ? { where: given('label') } : {}),
      }),
    );
}

/** Assigned characteristics and services, never a declaration or descriptor. */
const anyShortUuid: fc.Arbitrary<Uuid> = fc.integer({ min: 0x2a00, max: 0x2c3a }).map(uuid16);
const anyServiceUuid: fc.Arbitrary<Uuid> = fc.integer({ min: 0x1802, max: 0x185f }).map(uuid16);

const ids = ['alpha', 'beta', 'gamma', 'delta'];

function anyService(id: string, many: readonly string[]): fc.Arbitrary<Service> {
  return fc
    .record({
      characteristics: fc
        .integer({ min: 0, max: 4 })
        .chain((count) =>
          fc.tuple(...Array.from({ length: count }, (_, i) => anyCharacteristic(`${id}-${String(i)}`))),
        ),
      uuid: fc.option(anyServiceUuid, { nil: undefined }),
      secondary: fc.boolean(),
      includes: fc.subarray([...many, 'nothing']),
      from: fc.option(fc.integer({ min: 1, max: 0x200 }), { nil: undefined }),
      reserve: fc.integer({ min: 0, max: 20 }),
    })
    .map(({ characteristics, uuid, secondary, includes, from, reserve }) =>
      service(id, characteristics, {
        secondary,
        includes,
        handles: { from, reserve },
        ...(uuid === undefined ? {} : { uuid }),
      }),
    );
}

/**
 * Contracts of up to four services with everything that makes a table: types, access, needs, pins that may be too low,
 * reserves, includes forward, backward and of itself, of what does not exist. Names and labels are any text.
 */
export const anyContract: fc.Arbitrary<Contract> = fc
  .record({
    services: fc.subarray(ids).chain((many) => fc.tuple(...many.map((id) => anyService(id, many)))),
    name: fc.string({ unit: 'binary', maxLength: 40 }),
    where: fc.constantFrom<Contract['radio']['advertise']['name']>('auto', 'advertising', 'scan-response', 'none'),
    advertised: fc.subarray([...ids, 'nothing']),
    appearance: fc.integer({ min: 0, max: 0xffff }),
    txPower: fc.option(fc.integer({ min: -127, max: 20 }), { nil: undefined }),
    manufacturerData: fc.option(
      fc.record({ company: fc.integer({ min: 0, max: 0xffff }), data: fc.uint8Array({ maxLength: 40 }) }),
      { nil: undefined },
    ),
  })
  .map(({ services, name, where, advertised, appearance, txPower, manufacturerData }) =>
    contract(services, {
      board: { name, appearance },
      radio: { advertise: { name: where, services: advertised, txPower, manufacturerData } },
    }),
  );
