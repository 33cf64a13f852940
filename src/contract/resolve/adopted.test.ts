import { describe, expect, it } from 'vitest';
import { benchWith, contractWith } from '../../../test/support/contract-text.ts';
import { expectFindings, pointing } from '../../../test/support/findings.ts';
import { rational } from '../../base/rational.ts';
import { everyCharacteristic } from '../model.ts';
import { parseContract } from '../parse.ts';

const found = (keys: string): readonly string[] =>
  parseContract(benchWith(`id: it, ${keys}`)).findings.map(({ code, message }) => `${code}: ${message}`);

// Formats: GATT Specification Supplement section 3.
describe('an adopted characteristic', () => {
  it('has UUID, label, type and access of the standard, and no slot', () => {
    const { value } = parseContract(
      benchWith('id: water, adopted: temperature', 'id: next, type: uint8, access: [read]'),
    );
    const [water, next] = everyCharacteristic(value!).map(({ characteristic }) => characteristic);
    expect(water).toMatchObject({
      uuid: '2A6E',
      adopted: 'temperature',
      label: 'Temperature',
      access: ['read'],
      type: {
        kind: 'integer',
        signed: true,
        bits: 16,
        scale: { decimal: -2 },
        unit: 0x272f,
        special: [{ name: 'unknown' }],
      },
    });
    expect(next?.uuid.slice(4, 8)).toBe('0002');
  });

  it('may say the standard’s format again, or less of it', () => {
    expect(found('adopted: temperature, type: sint16, scale: { decimal: -2 }, unit: degree celsius')).toEqual([]);
    expect(found('adopted: temperature, special: { 0x8000: unknown }')).toEqual([]);
    expect(found('adopted: temperature, range: [0, 50], step: 0.5, label: Warm')).toEqual([]);
    expect(found('adopted: manufacturer-name-string, length: [0, 20]')).toEqual([]);
    const { value } = parseContract(benchWith('id: it, adopted: temperature, range: [0, 50]'));
    expect(everyCharacteristic(value!)[0]?.characteristic.type).toMatchObject({
      bounded: true,
      range: { min: rational(0), max: rational(50) },
      special: [{ code: -32_768n }],
    });
  });

  it.each([
    ['type: uint16', '`type` is uint16, but `temperature` has sint16 by the standard'],
    ['type: utf8, length: 4', '`type` is utf8, but `temperature` has sint16 by the standard'],
    ['scale: { decimal: -1 }', '`scale` is 0.1, but `temperature` has 0.01 by the standard'],
    ['unit: kelvin', '`unit` is kelvin, but `temperature` has degree celsius by the standard'],
    ['range: [-300, 50]', '`range` is -300 to 50 °C, but `temperature` has -273.15 to 327.67 °C by the standard'],
    [
      'special: { 0x7FFF: unknown }',
      '`special` is 32767 unknown, but `temperature` has -32768 unknown by the standard',
    ],
  ])('with %s has another format', (keys, message) => {
    expect(found(`adopted: temperature, ${keys}`)).toEqual([`adopted-wrong-format: ${message}`]);
  });

  it('tells each difference at its key', () => {
    expect(pointing(benchWith('id: it, adopted: humidity, unit: unitless, scale: { binary: -1 }'))).toEqual([
      'adopted-wrong-format unitless',
      'adopted-wrong-format { binary: -1 }',
    ]);
  });

  it('has no keys that its type has not', () => {
    expect(found('adopted: alert-level, unit: volt')[0]).toMatch(/^key-not-for-type: /);
  });

  it('needs a type when its format is not known, and takes any', () => {
    expect(found('adopted: heart-rate-measurement, access: [notify]')[0]).toMatch(/^type-missing: /);
    expect(found('adopted: heart-rate-measurement, access: [notify], type: bytes, length: [2, 20]')).toEqual([]);
  });

  it('has no other UUID', () => {
    expect(found('adopted: temperature, uuid: 0x2A6F')).toEqual([
      'said-in-two-ways: `uuid` and `adopted` each say the UUID',
    ]);
    expect(found('adopted: temperature, slot: 4')[0]).toMatch(/^said-in-two-ways: /);
  });

  it('that does not exist causes one finding', () => {
    expect(found('adopted: temperatur')).toHaveLength(1);
  });
});

describe('use', () => {
  const services = (lines: string) => parseContract(contractWith(lines));

  it('battery has its level, read and notified at most once a minute', () => {
    const { value, findings } = services('use: [battery]\n');
    expect(findings).toEqual([]);
    expect(value?.services).toMatchObject([
      {
        id: 'battery',
        uuid: '180F',
        origin: 'use',
        characteristics: [
          {
            id: 'battery-level',
            uuid: '2A19',
            access: ['read', 'notify'],
            notify: { on: { kind: 'change' }, minSpacing: 60_000_000 },
          },
        ],
      },
    ]);
  });

  it('takes names and whole characteristics', () => {
    const { value, findings } = services(
      `use:
  - environmental-sensing:
      - temperature
      - { id: outside, adopted: temperature, label: Outside, access: [read, notify], notify: { on: change, at-most: 1 per min } }
  - device-information
`,
    );
    expect(findings).toEqual([]);
    expect(value?.services.map(({ id, characteristics }) => [id, characteristics.map((one) => one.id)])).toEqual([
      ['environmental-sensing', ['temperature', 'outside']],
      ['device-information', []],
    ]);
    expect(value?.services[0]?.characteristics[1]).toMatchObject({
      label: 'Outside',
      notify: { minSpacing: 60_000_000 },
    });
  });

  it('refuses what is no adopted service, and a service twice', () => {
    const entries =
      'batery, tx-power, { battery: [battery-level] }, battery, { link-loss: [], b: [] }, { link-loss: [] }';
    expect(pointing(contractWith(`use: [${entries}]\n`))).toEqual([
      'unknown-name batery',
      'repeated-entry battery',
      'list-length b',
      'list-length []',
    ]);
  });

  it('tells two characteristics with one id', () => {
    expectFindings(contractWith('use:\n  - battery:\n      - battery-level\n      - battery-level\n'), [
      '7:9 duplicate-id',
    ]);
  });
});
