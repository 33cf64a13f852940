import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { adoptedName, appearance, serviceName, unit } from './names.ts';

// Numbers: Bluetooth SIG Assigned Numbers, sections 3.5 (units), 2.6 (appearances), 3.8 and 3.4.
describe('assigned names', () => {
  it.each([
    ['hertz', 0x2722],
    ['degree celsius', 0x272f],
    ['metre per second', 0x2712],
    ['meters per second', 0x2712],
    ['percentage', 0x27ad],
    ['tesla', 0x272d],
    ['0x272F', 0x272f],
    ['unitless', 0x2700],
  ])('unit %s', (written, value) => {
    expect(decodeWith(unit, written)).toMatchObject({ value, codes: [] });
  });

  it.each([
    ['Hz', 'write `hertz`'],
    ['herz', 'write `hertz`'],
    ['°C', 'write `degree celsius`'],
    ['furlong', 'write the assigned name of a unit in words'],
  ])('a unit written %s: %s', (written, hint) => {
    const { codes, found } = decodeWith(unit, written);
    expect(codes).toEqual(['unknown-name']);
    expect(found[0]?.hint).toBe(hint);
  });

  it('names all units that a symbol may mean', () => {
    expect(decodeWith(unit, 'W/m²').found[0]?.hint).toMatch(/^write `.+` or `.+`$/);
  });

  it('refuses numbers that are no unit', () => {
    expect(decodeWith(unit, '0x27FF').codes).toEqual(['unknown-name']);
    expect(decodeWith(unit, '0x2A6E').codes).toEqual(['out-of-bounds']);
  });

  it('appearance', () => {
    expect(decodeWith(appearance, 'temperature-sensor').value).toBe(0x0543);
    expect(decodeWith(appearance, 'generic sensor').value).toBe(0x0540);
    expect(decodeWith(appearance, '0x0C42').value).toBe(0x0c42);
    expect(decodeWith(appearance, 'temprature-sensor').found[0]?.hint).toBe('write `temperature-sensor`');
    expect(decodeWith(appearance, '0x10000').codes).toEqual(['out-of-bounds']);
  });

  it('adopted characteristics, of known format or not', () => {
    expect(decodeWith(adoptedName, 'temperature').value?.uuid).toBe('2A6E');
    expect(decodeWith(adoptedName, 'heart-rate-measurement').value?.uuid).toBe('2A37');
    expect(decodeWith(adoptedName, 'temperatur').found[0]?.hint).toBe('write `temperature`');
  });

  it('adopted services', () => {
    expect(decodeWith(serviceName, 'battery').value?.uuid).toBe('180F');
    expect(decodeWith(serviceName, 'batery').found[0]?.hint).toBe('write `battery`');
    expect(decodeWith(serviceName, 'xyz').found[0]?.hint).toMatch(/^use one of .*`battery`/);
  });
});
