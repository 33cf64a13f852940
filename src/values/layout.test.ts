import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integer } from '../../test/support/contract-builder.ts';
import { arbitraryCoded, arbitraryType } from '../../test/support/arbitrary-type.ts';
import { bigFromLe } from '../base/bytes.ts';
import { encode, lengthRange } from './codec.ts';
import { layoutOf } from './layout.ts';
import type { Coded, ValueType } from './type.ts';

function pieces(type: ValueType): string[] {
  return layoutOf(type).map(
    ({ path, label, bitOffset, bitLength, variable }) =>
      `${path} | ${label} | ${bitOffset} ${bitLength}${variable ? ' variable' : ''}`,
  );
}

describe('layout', () => {
  it('of one piece has neither path nor label', () => {
    expect(pieces(integer(false, 12))).toEqual([' |  | 0 12']);
    expect(pieces({ kind: 'text', encoding: 'utf8', minLength: 2, maxLength: 9 })).toEqual([' |  | 0 16 variable']);
    expect(pieces({ kind: 'array', element: integer(false, 8), minCount: 0, maxCount: 9 })).toEqual([
      ' |  | 0 0 variable',
    ]);
  });

  it('opens structs and arrays of a fixed count', () => {
    const point: ValueType = {
      kind: 'struct',
      fields: [
        { id: 'kind', label: 'Kind', type: integer(false, 4) },
        { id: 'x', label: 'X', type: integer(false, 12) },
        { id: 'on', label: 'On', type: { kind: 'boolean' } },
      ],
    };
    const type: ValueType = {
      kind: 'struct',
      fields: [
        { id: 'mode', label: 'Mode', type: integer(false, 2) },
        { id: 'points', label: 'Points', type: { kind: 'array', element: point, minCount: 2, maxCount: 2 } },
        { id: 'note', label: 'Note', type: { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: 9 } },
      ],
    };
    expect(pieces(type)).toEqual([
      'mode | Mode | 0 2',
      'points[0].kind | Points · 1 · Kind | 8 4',
      'points[0].x | Points · 1 · X | 12 12',
      'points[0].on | Points · 1 · On | 24 8',
      'points[1].kind | Points · 2 · Kind | 32 4',
      'points[1].x | Points · 2 · X | 36 12',
      'points[1].on | Points · 2 · On | 48 8',
      'note | Note | 56 0 variable',
    ]);
  });

  it('covers a value from its first bit without overlaps', () => {
    fc.assert(
      fc.property(arbitraryType(), (type) => {
        const fields = layoutOf(type);
        let end = 0;
        for (const [i, field] of fields.entries()) {
          expect(field.bitOffset).toBeGreaterThanOrEqual(end);
          expect(field.bitOffset - end).toBeLessThan(8);
          if (field.variable) expect(i).toBe(fields.length - 1);
          end = field.bitOffset + field.bitLength;
        }
        expect(Math.ceil(end / 8)).toBe(lengthRange(type).min);
      }),
      { numRuns: 200 },
    );
  });

  it('says where the codec puts the integers', () => {
    const typed = arbitraryType().chain((type) => arbitraryCoded(type).map((coded) => ({ type, coded })));
    fc.assert(
      fc.property(typed, ({ type, coded }) => {
        const encoded = encode(type, coded);
        if (!encoded.ok) expect.unreachable(encoded.refusal.message);
        else {
          const whole = bigFromLe(encoded.value);
          for (const field of layoutOf(type)) {
            const part = at(coded, type, field.path);
            if (part?.kind !== 'integer') continue;
            const bits = BigInt.asUintN(field.bitLength, whole >> BigInt(field.bitOffset));
            expect(bits).toBe(BigInt.asUintN(field.bitLength, part.value));
          }
        }
      }),
      { numRuns: 200 },
    );
  });
});

/** The part of a coded value that a path leads to. */
function at(coded: Coded, type: ValueType, path: string): Coded | undefined {
  if (path === '') return coded;
  const [, index, id, rest = ''] = /^(?:\[(\d+)\]|([a-z0-9-]+))\.?(.*)$/.exec(path)!;
  if (coded.kind === 'array' && type.kind === 'array') return at(coded.items[Number(index)]!, type.element, rest);
  if (coded.kind !== 'struct' || type.kind !== 'struct') return undefined;
  const place = type.fields.findIndex((field) => field.id === id);
  return at(coded.fields[place]!, type.fields[place]!.type, rest);
}
