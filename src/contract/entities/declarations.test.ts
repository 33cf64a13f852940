import { describe, expect, it } from 'vitest';
import { decodeWith } from '../../../test/support/decode.ts';
import { recordsFrom } from '../shapes/walk.ts';
import { contractRecord } from './contract.ts';

const records = recordsFrom(contractRecord);
const fields = records.flatMap((record) =>
  Object.entries(record.fields).map(([key, field]) => ({ name: `${record.id}.${key}`, field })),
);

describe('the declarations of all records', () => {
  it('reach every entity of the language', () => {
    expect(records.map(({ id }) => id)).toEqual(
      expect.arrayContaining([
        'contract',
        'board',
        'radio',
        'advertise',
        'connection',
        'service',
        'handles',
        'characteristic',
        'used-characteristic',
        'enum',
        'flags',
        'struct',
        'field',
        'array',
        'scale',
        'needs',
        'notify',
        'on-link-loss',
        'waiver',
        'phase-accumulator',
        'timer',
        'pwm-duty',
        'pulse-width',
        'dac',
        'adc',
        'table',
      ]),
    );
    expect(new Set(records.map(({ id }) => id)).size).toBe(records.length);
  });

  it.each(fields)('$name: its example can be written', ({ field }) => {
    expect(decodeWith(field.shape, field.example).codes).toEqual([]);
  });

  it.each(fields.filter(({ field }) => field.presence === 'default'))(
    '$name: its default, written out, is its default',
    ({ field }) => {
      expect(decodeWith(field.shape, field.otherwise)).toMatchObject({ value: field.fallback, codes: [] });
    },
  );

  it.each(fields)('$name: says what it is in sentences', ({ field }) => {
    expect(field.doc).toMatch(/^[A-Z0-9].*\.$/s);
  });
});
