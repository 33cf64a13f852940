import { describe, expect, it } from 'vitest';
import { parseContract } from '../parse.ts';

const read = (board: string, rest = '') =>
  parseContract(`contract: 1\nboard: { name: Bench, ${board} }\n${rest}`).value?.services.map(
    ({ id, origin, characteristics }) => [id, origin, characteristics.map(({ uuid }) => uuid)],
  );

// UUIDs: Device Information Service, section 3.
describe('device information', () => {
  it('has a characteristic for each text that the board gives', () => {
    expect(read('software: s, serial: "1", maker: m, hardware: h, firmware: f, model: x')).toEqual([
      ['device-information', 'board-information', ['2A29', '2A24', '2A25', '2A27', '2A26', '2A28']],
    ]);
    expect(read('serial: "0042"')).toEqual([['device-information', 'board-information', ['2A25']]]);
  });

  it('is not there without any', () => {
    expect(read('unit: a')).toEqual([]);
  });

  it('keeps the place that `use` gives it, and what it lists besides', () => {
    expect(read('maker: m', 'use: [device-information, battery]\n')).toEqual([
      ['device-information', 'use', ['2A29']],
      ['battery', 'use', ['2A19']],
    ]);
    expect(read('maker: m', 'use: [{ device-information: [pnp-id] }]\n')).toEqual([
      ['device-information', 'use', ['2A29', '2A50']],
    ]);
  });

  it('is read only text, as long as what is written', () => {
    const { value } = parseContract('contract: 1\nboard: { name: Bench, maker: Café }\n');
    expect(value?.services[0]?.characteristics[0]).toMatchObject({
      id: 'manufacturer-name-string',
      label: 'Manufacturer Name String',
      access: ['read'],
      type: { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 5 },
      start: Uint8Array.of(0x43, 0x61, 0x66, 0xc3, 0xa9),
    });
  });
});
