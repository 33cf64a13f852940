import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { byDefault, filled, optional, record, required, whole } from './record.ts';
import { text, whole as wholeNumber } from './scalars.ts';

const pump = record(
  { id: 'pump', called: 'a pump', intro: 'It pumps.' },
  {
    name: required(text(20), 'Its name.', 'Left'),
    speed: byDefault(wholeNumber(0, 9), 5, '5', 'How fast.'),
    place: optional(text(20), 'anywhere', 'Where it is.', 'cellar'),
  },
);

const dial = record(
  { id: 'dial', called: 'a dial', intro: '' },
  { low: byDefault(wholeNumber(0, 9), 1, '1', ''), high: optional(wholeNumber(0, 9), 'none', '', '9') },
);

describe('record', () => {
  it('fills defaults and knows what was given', () => {
    const { value } = decodeWith(pump, 'name: Left\n');
    expect(value?.whole).toEqual({ name: 'Left', speed: 5, place: undefined });
    expect([...value!.where.keys.keys()]).toEqual(['name']);
  });

  it('gives what is sound of a record that is not', () => {
    const { value, codes } = decodeWith(pump, 'name: Left\nspeed: 12\nplace: cellar\n');
    expect(codes).toEqual(['out-of-bounds']);
    expect(value?.whole).toBeUndefined();
    expect(value?.values).toEqual({ name: 'Left', speed: undefined, place: 'cellar' });
  });

  it('tells a missing key at the record’s first key, with the example', () => {
    const { found } = decodeWith(pump, 'speed: 1\n');
    expect(found.map(({ code, at, hint }) => [code, at, hint])).toEqual([
      ['missing-key', { start: 0, end: 5 }, 'add `name`, for example `name: Left`'],
    ]);
  });

  it('takes keys of every object for unknown ones', () => {
    expect(decodeWith(pump, '{ name: Left, constructor: 1, toString: 2, __proto__: 3 }').codes).toEqual([
      'unknown-key',
      'unknown-key',
      'unknown-key',
    ]);
  });

  it('suggests only keys that are not given yet', () => {
    const { found } = decodeWith(pump, '{ name: Left, nane: Right, sped: 3 }');
    expect(found.map(({ hint }) => hint)).toEqual(['use one of `speed` and `place`, or delete it', 'write `speed`']);
  });

  it('as a whole gives nothing when anything was refused', () => {
    expect(decodeWith(whole(pump), '{ name: Left }').value).toMatchObject({ name: 'Left', speed: 5 });
    expect(decodeWith(whole(pump), '{ name: Left, speed: x }').value).toBeUndefined();
  });

  it('filled has a value for every key', () => {
    const draft = decodeWith(dial, '{ low: 99 }').value;
    expect(filled(dial, draft, { start: 0, end: 0 })).toMatchObject({ low: 1, high: undefined });
    expect(filled(dial, undefined, { start: 3, end: 4 }).where).toEqual({
      self: { start: 3, end: 4 },
      keys: new Map(),
    });
  });

  it('says its schema', () => {
    expect(pump.definition()).toMatchObject({
      type: 'object',
      required: ['name'],
      additionalProperties: false,
      properties: {
        speed: { type: 'integer', minimum: 0, maximum: 9, description: 'How fast. Default: 5. Example: 5' },
      },
    });
  });
});
