import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { equalBytes, toHex, type Bytes } from '../base/bytes.ts';
import { parseUuid, uuid16, uuidBytes, uuidFromBytes, type Uuid } from '../base/uuid.ts';
import type { Contract, Service } from '../contract/model.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import { anyContract } from '../../test/support/arbitrary-contract.ts';
import { contract, service } from '../../test/support/contract-builder.ts';
import { advertise } from './advertising.ts';
import type { AdvertisingData } from './model.ts';

type Advertise = Partial<Contract['radio']['advertise']>;

const long = (n: number): Uuid => parseUuid(`6b1d000${n}-0f5e-4c3a-9a77-2f0c5b8e41d0`)!;
const own = (n: number, overrides: Partial<Service> = {}): Service =>
  service(`own-${n}`, [], { uuid: long(n), ...overrides });
const battery = service('battery', [], { uuid: uuid16(0x180f), origin: 'use' });
const sensing = service('sensing', [], { uuid: uuid16(0x181a), origin: 'use' });

function advertised(
  name: string,
  services: readonly Service[],
  { appearance = 0, ...wishes }: Advertise & { readonly appearance?: number } = {},
): ReturnType<typeof advertise> {
  return advertise(contract(services, { board: { name, appearance }, radio: { advertise: wishes } }));
}

/** `type: data`, both in hex, read from the octets alone. */
function structures(bytes: Bytes): readonly string[] {
  const found: string[] = [];
  for (let i = 0; i < bytes.length; i += 1 + bytes[i]!) {
    expect(bytes[i]).toBeGreaterThan(0);
    expect(i + 1 + bytes[i]!).toBeLessThanOrEqual(bytes.length);
    found.push(`${toHex(bytes.slice(i + 1, i + 2))}: ${toHex(bytes.slice(i + 2, i + 1 + bytes[i]!))}`);
  }
  return found;
}

const cuts = ({ cut }: AdvertisingData): readonly string[] => cut.map(({ what, why }) => `${what}: ${why}`);
const text = (name: string): string => toHex(encodeUtf8(name));
const wire = (uuid: Uuid): string => toHex(uuidBytes(uuid));

// Core Specification Supplement Part A; octets worked out by hand.
describe('packing', () => {
  test('flags, the service and the name fill the advertising data; the appearance follows on request', () => {
    const { advertising, scanResponse } = advertised('Tank 01', [own(1)], { appearance: 0x0540 });
    expect(toHex(advertising.bytes)).toBe(`0201061107${wire(long(1))}0809${text('Tank 01')}`);
    expect(advertising.bytes).toHaveLength(30);
    expect(toHex(scanResponse.bytes)).toBe('03194005');
    expect(cuts(advertising)).toEqual(['appearance: it needs 4 octets, 1 octet is left; it is in the scan response']);
    expect(scanResponse.cut).toEqual([]);
  });

  test('elements say where they are and what they mean', () => {
    const { elements } = advertised('Tank 01', [own(1)]).advertising;
    expect(elements).toEqual([
      { type: 1, name: 'Flags', offset: 0, length: 3, about: 'general discoverable, no BR/EDR' },
      { type: 7, name: 'Complete List of 128-bit Service Class UUIDs', offset: 3, length: 18, about: 'own-1' },
      { type: 9, name: 'Complete Local Name', offset: 21, length: 9, about: '`Tank 01`' },
    ]);
  });

  test('power and manufacturer data come before a name that may move', () => {
    const manufacturerData = { company: 0xffff, data: Uint8Array.of(1, 2, 3) };
    const { advertising, scanResponse } = advertised('A rather long name', [battery], {
      services: ['battery'],
      txPower: -8,
      manufacturerData,
    });
    expect(structures(advertising.bytes)).toEqual(['01: 06', '03: 0f18', 'ff: ffff010203', '0a: f8']);
    expect(structures(scanResponse.bytes)).toEqual([`09: ${text('A rather long name')}`]);
  });

  test('what fits nowhere is missed', () => {
    const manufacturerData = { company: 0xffff, data: new Uint8Array(28) };
    const { advertising, scanResponse } = advertised('', [], { manufacturerData });
    expect(structures(advertising.bytes)).toEqual(['01: 06']);
    expect(cuts(scanResponse)).toEqual([
      'manufacturer data: it needs 32 octets, 28 octets are left, and 31 octets are left in the scan response',
    ]);
  });
});

describe('service UUIDs', () => {
  test('a list is complete only with all primary services of its size', () => {
    const types = (services: readonly Service[], wished: readonly string[]): readonly string[] =>
      structures(advertised('', services, { services: wished }).advertising.bytes).slice(1);
    expect(types([battery, sensing], ['battery', 'sensing'])).toEqual(['03: 0f181a18']);
    expect(types([battery, sensing], ['sensing'])).toEqual(['02: 1a18']);
    expect(types([battery, own(1)], ['battery', 'own-1'])).toEqual(['03: 0f18', `07: ${wire(long(1))}`]);
    expect(types([own(1), own(2)], ['own-1'])).toEqual([`06: ${wire(long(1))}`]);
    expect(types([own(1), own(2, { secondary: true })], ['own-1'])).toEqual([`07: ${wire(long(1))}`]);
    expect(types([battery], [])).toEqual([]);
  });

  test('two services with one UUID are one UUID', () => {
    const twin = { ...battery, id: 'second-battery' };
    const { advertising } = advertised('', [battery, twin], { services: ['battery', 'second-battery'] });
    expect(structures(advertising.bytes)).toEqual(['01: 06', '03: 0f18']);
  });

  test('what does not fit is spread, then missed', () => {
    const services = [own(1), own(2), own(3)];
    const { advertising, scanResponse } = advertised('', services, { services: services.map(({ id }) => id) });
    expect(structures(advertising.bytes)).toEqual(['01: 06', `06: ${wire(long(1))}`]);
    expect(structures(scanResponse.bytes)).toEqual([`06: ${wire(long(2))}`]);
    expect(cuts(advertising)).toEqual([
      'service UUID of `own-2`: 26 octets are left for 3 of 16 octets; it is in the scan response',
    ]);
    expect(cuts(scanResponse)).toEqual([
      'service UUID of `own-3`: 26 octets are left for 3 of 16 octets, and 29 octets in the scan response',
    ]);
  });

  test('a secondary service is not advertised', () => {
    const { advertising, scanResponse } = advertised('', [own(1, { secondary: true })], { services: ['own-1'] });
    expect(structures(advertising.bytes)).toEqual(['01: 06']);
    expect(cuts(scanResponse)).toEqual(['service UUID of `own-1`: a secondary service is found only through another']);
  });
});

describe('the name', () => {
  const name = 'Tank 01 in the long room';

  test('auto: whole in the scan response when the advertising data is full', () => {
    const { advertising, scanResponse } = advertised(name, [own(1)]);
    expect(structures(advertising.bytes).map((each) => each.slice(0, 2))).toEqual(['01', '07']);
    expect(structures(scanResponse.bytes)).toEqual([`09: ${text(name)}`]);
    expect(cuts(advertising)).toEqual([
      `name \`${name}\`: it needs 26 octets, 10 octets are left; it is in the scan response`,
    ]);
  });

  test('advertising: shortened there, whole in the scan response', () => {
    const { advertising, scanResponse } = advertised(name, [own(1)], { name: 'advertising' });
    expect(structures(advertising.bytes).at(-1)).toBe(`08: ${text('Tank 01 ')}`);
    expect(structures(scanResponse.bytes)).toEqual([`09: ${text(name)}`]);
    expect(cuts(advertising)).toEqual([
      `name \`${name}\`: it needs 26 octets, 10 octets are left: shortened to \`Tank 01 \`; it is whole in the scan response`,
    ]);
  });

  test('scan response: only there, even if there were room', () => {
    const { advertising, scanResponse } = advertised('Tank', [], { name: 'scan-response' });
    expect(structures(advertising.bytes)).toEqual(['01: 06']);
    expect(structures(scanResponse.bytes)).toEqual([`09: ${text('Tank')}`]);
    expect(advertising.cut).toEqual([]);
  });

  test('none', () => {
    const { advertising, scanResponse } = advertised('Tank', [], { name: 'none' });
    expect(structures(advertising.bytes)).toEqual(['01: 06']);
    expect(scanResponse).toEqual({ bytes: new Uint8Array(0), elements: [], cut: [] });
  });

  test('over 29 octets is shortened to whole characters', () => {
    const { scanResponse } = advertised('ä'.repeat(15), [own(1)]);
    expect(structures(scanResponse.bytes)).toEqual([`08: ${'c3a4'.repeat(14)}`]);
    expect(cuts(scanResponse)).toEqual([
      `name \`${'ä'.repeat(15)}\`: it needs 32 octets, 31 octets are left: shortened to \`${'ä'.repeat(14)}\``,
    ]);
  });

  test('a character that does not fit is not halved', () => {
    const manufacturerData = { company: 0xffff, data: new Uint8Array(21) };
    const { advertising } = advertised('🌊🌊', [], { name: 'advertising', manufacturerData: undefined });
    expect(structures(advertising.bytes)).toEqual(['01: 06', '09: f09f8c8af09f8c8a']);
    const { scanResponse } = advertise(
      contract([own(1), own(2)], {
        board: { name: '🌊🌊🌊🌊' },
        radio: { advertise: { services: ['own-1', 'own-2'], manufacturerData } },
      }),
    );
    expect(cuts(scanResponse)[1]).toContain('shortened to `🌊🌊`');
  });
});

describe('of any contract', () => {
  const cases = anyContract.map((source) => ({ source, ...advertise(source) }));
  const shortNames = [0x08, 0x09];

  test('at most 31 octets each, which read back as their elements', () => {
    fc.assert(
      fc.property(cases, ({ advertising, scanResponse }) => {
        for (const block of [advertising, scanResponse]) {
          expect(block.bytes.length).toBeLessThanOrEqual(31);
          const found = structures(block.bytes);
          expect(found).toHaveLength(block.elements.length);
          let offset = 0;
          for (const [i, element] of block.elements.entries()) {
            expect(element.offset).toBe(offset);
            expect(found[i]!.slice(0, 2)).toBe(element.type.toString(16).padStart(2, '0'));
            expect(found[i]!.length).toBe(4 + 2 * (element.length - 2));
            offset += element.length;
          }
        }
        expect(toHex(advertising.bytes).slice(0, 6)).toBe('020106');
      }),
    );
  });

  test('no AD type stands twice in a block', () => {
    fc.assert(
      fc.property(cases, ({ advertising, scanResponse }) => {
        for (const { elements } of [advertising, scanResponse]) {
          const types = elements.map(({ type }) => type);
          expect(new Set(types).size).toBe(types.length);
          expect(types.filter((type) => shortNames.includes(type)).length).toBeLessThanOrEqual(1);
        }
      }),
    );
  });

  test('a name is a beginning of the name, in whole characters, and marked complete only if it is', () => {
    fc.assert(
      fc.property(cases, ({ source, advertising, scanResponse }) => {
        const whole = encodeUtf8(source.board.name);
        for (const { bytes, elements } of [advertising, scanResponse]) {
          for (const { type, offset, length } of elements.filter((each) => shortNames.includes(each.type))) {
            const part = bytes.slice(offset + 2, offset + length);
            expect(equalBytes(part, whole.slice(0, part.length))).toBe(true);
            expect(type === 0x09).toBe(part.length === whole.length);
            expect(() => new TextDecoder('utf-8', { fatal: true }).decode(part)).not.toThrow();
          }
        }
      }),
    );
  });

  test('every wished UUID is on the air or said to be missed', () => {
    fc.assert(
      fc.property(cases, ({ source, advertising, scanResponse }) => {
        const onAir = [advertising, scanResponse].flatMap(({ bytes, elements }) =>
          elements.flatMap(({ type, offset, length }) => {
            const size = { 2: 2, 3: 2, 6: 16, 7: 16 }[type];
            if (size === undefined) return [];
            return Array.from({ length: (length - 2) / size }, (_, i) =>
              uuidFromBytes(bytes.slice(offset + 2 + i * size, offset + 2 + (i + 1) * size)),
            );
          }),
        );
        expect(new Set(onAir).size).toBe(onAir.length);
        for (const id of source.radio.advertise.services) {
          const wished = source.services.find((each) => each.id === id);
          if (wished === undefined) continue;
          const missed = scanResponse.cut.some(({ what }) => what === `service UUID of \`${id}\``);
          const twin = source.services.some((each) => each.id !== id && each.uuid === wished.uuid);
          if (!twin) expect(onAir.includes(wished.uuid)).toBe(!missed);
        }
      }),
    );
  });
});
