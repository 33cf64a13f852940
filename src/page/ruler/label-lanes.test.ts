import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { laneLabels } from './label-lanes.ts';

describe('labels under a drawing', () => {
  it('stand side by side where there is room', () => {
    const wanted = [
      { x: 0, width: 30 },
      { x: 40, width: 30 },
    ];
    expect(laneLabels(wanted, 100, 8)).toEqual([
      { lane: 0, x: 0 },
      { lane: 0, x: 40 },
    ]);
  });

  it('step down from right to left where there is none', () => {
    const wanted = [
      { x: 0, width: 60 },
      { x: 20, width: 60 },
      { x: 40, width: 60 },
    ];
    expect(laneLabels(wanted, 200, 8).map(({ lane }) => lane)).toEqual([2, 1, 0]);
  });

  it('never overlap, nor does a line down to one cross another', () => {
    const label = fc.record({ x: fc.nat(280), width: fc.integer({ min: 5, max: 120 }) });
    fc.assert(
      fc.property(fc.array(label, { maxLength: 12 }), (some) => {
        const wanted = [...some].sort((a, b) => a.x - b.x);
        const placed = laneLabels(wanted, 400, 6);
        placed.forEach((a, i) => {
          expect(a.x).toBe(wanted[i]!.x);
          placed.slice(i + 1).forEach((b, j) => {
            const next = wanted[i + 1 + j]!;
            if (a.lane === b.lane) expect(a.x + wanted[i]!.width).toBeLessThan(b.x);
            // The line down to `b` passes the lanes above it.
            if (a.lane < b.lane) expect(a.x + wanted[i]!.width).toBeLessThan(next.x);
          });
        });
      }),
    );
  });

  it('stay within the room', () => {
    expect(laneLabels([{ x: 90, width: 40 }], 100, 6)).toEqual([{ lane: 0, x: 60 }]);
    expect(laneLabels([{ x: 90, width: 140 }], 100, 6)).toEqual([{ lane: 0, x: 0 }]);
  });
});
