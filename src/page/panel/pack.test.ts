import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packPlates, rowParts } from './pack.ts';

const ofUnits = (...units: number[]) => units.map((one, i) => ({ units: one, i }));

describe('packPlates', () => {
  it('keeps the order and fills every row to its end', () => {
    const width = fc.integer({ min: 1, max: 6 });
    fc.assert(
      fc.property(fc.array(width, { maxLength: 30 }), fc.integer({ min: 1, max: 14 }), (widths, units) => {
        const rows = packPlates(ofUnits(...widths), units);
        expect(rows.flat().map(({ plate }) => plate.i)).toEqual(widths.map((_, i) => i));
        for (const row of rows) {
          expect(row.reduce((sum, { parts }) => sum + parts, 0)).toBe(rowParts);
          expect(row.reduce((sum, { plate }) => sum + Math.min(plate.units, units), 0)).toBeLessThanOrEqual(units);
        }
      }),
    );
  });

  it('shares what is left over in proportion', () => {
    expect(packPlates(ofUnits(2, 2, 2), 8).map((row) => row.map(({ parts }) => parts))).toEqual([[40, 40, 40]]);
  });

  it('rather makes two even rows than a full one and a widow', () => {
    expect(packPlates(ofUnits(2, 2, 2, 2, 2), 8).map((row) => row.length)).not.toEqual([4, 1]);
  });

  it('sets one plate a row where there is one unit', () => {
    expect(packPlates(ofUnits(2, 4, 1), 1).map((row) => row.length)).toEqual([1, 1, 1]);
  });
});
