import fc from 'fast-check';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { us } from '../base/quantity.ts';
import type { Table } from '../table/model.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';
import type { Observation } from './observation.ts';

// Whole sessions are judged many times over.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

let table: Table;
let clean: readonly Observation[];

beforeAll(async () => {
  ({ table, observations: clean } = await recordSession(20));
});

const inOrder = (observations: readonly Observation[]): Observation[] => [...observations].sort((a, b) => a.at - b.at);

/** Each line comes `delay` microseconds later, in its order. */
function slower(observations: readonly Observation[], delay: (index: number) => number): Observation[] {
  let last = 0;
  return inOrder(
    observations.map((one, i) => {
      if (one.kind !== 'printed') return one;
      last = Math.max(last, one.at + delay(i));
      return { ...one, at: us(last) };
    }),
  );
}

describe('a console in trouble', () => {
  it('may be slow and uneven: what crosses waits for it, and nothing is marked', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 45_000 }), fc.nat({ max: 1e6 }), (jitter, seed) => {
        const delayed = slower(clean, (i) => ((i + seed) * 7919) % jitter);
        const { marks, ledger } = judge(table, delayed);
        expect(marks).toEqual([]);
        expect(ledger.alignment!.uncertainty).toBeLessThan(25_000);
      }),
      { numRuns: 15 },
    );
  });

  it('may lose and garble lines: what cannot be judged is not judged, and nothing is marked', () => {
    const hurt = fc.array(fc.record({ at: fc.nat({ max: 20_000 }), cut: fc.integer({ min: -10, max: 10 }) }), {
      minLength: 1,
      maxLength: 40,
    });
    fc.assert(
      fc.property(hurt, (cuts) => {
        const lines = clean.map((one, i) => {
          const cut = cuts.find(({ at }) => at % clean.length === i)?.cut ?? 0;
          if (one.kind !== 'printed' || cut === 0 || !one.line.startsWith('tell')) return one;
          return { ...one, line: cut > 0 ? one.line.slice(cut) : one.line.slice(0, cut) };
        });
        const { marks } = judge(table, lines);
        expect(marks).toEqual([]);
      }),
      { numRuns: 25 },
    );
  });

  it('says how much it could not print, and is believed', () => {
    const gap = { from: 8_000_000, to: 8_150_000 };
    const told = clean.filter((one) => one.kind !== 'printed' || one.at < gap.from || one.at > gap.to);
    const missing = clean.length - told.length;
    const note: Observation = { kind: 'printed', at: us(gap.to), line: `note ${gap.to / 1000} lost ${missing}` };
    const { marks, ledger } = judge(table, inOrder([...told, note]));
    expect(marks.filter((mark) => !mark.startsWith('late'))).toEqual([]);
    expect(ledger.troubles).toMatchObject({ lost: missing, noise: 0 });
  });

  it('tells noise from lines', () => {
    const noise: Observation[] = ['ets Jun 8 2016 00:22:57', '', 'rst:0x1 (POWERON)', 'x'.repeat(5000)].map(
      (line, i) => ({
        kind: 'printed',
        at: us(5_000_000 + i),
        line,
      }),
    );
    const { marks, ledger } = judge(table, inOrder([...clean, ...noise]));
    expect(marks).toEqual([]);
    expect(ledger.troubles.noise).toBe(4);
  });

  it('begins anew with a board that was reset, its clock and its values with it', async () => {
    const { observations: second } = await recordSession(10, 2);
    const shift = 12_000_000;
    const later = second.map((one) => {
      const moved = { ...one, at: us(one.at + shift) };
      return 'asked' in moved
        ? { ...moved, asked: us(moved.asked + shift), connection: 2 }
        : 'connection' in moved
          ? { ...moved, connection: 2 }
          : moved;
    });
    const reset: Observation[] = [
      { kind: 'disconnected', at: us(shift - 10), connection: 1 },
      { kind: 'printed', at: us(shift - 5), line: 'l 9f rig' },
      { kind: 'printed', at: us(shift), line: 'note 0 start 00' },
    ];
    const { marks, ledger } = judge(table, [...clean.filter(({ at }) => at < shift - 10), ...reset, ...later]);
    expect(marks).toEqual([]);
    expect(ledger.troubles.resets).toBe(1);
    expect(ledger.alignment!.offset).toBeCloseTo(shift - 500, -3);
  });

  it('may tell a clock that wraps at 2^32', () => {
    const start = 2 ** 32 - 8000;
    const wrapped = clean.map((one) =>
      one.kind === 'printed'
        ? {
            ...one,
            line: one.line.replace(
              /^(tell|note|value|time) (\d+)/,
              (_, word: string, ms: string) => `${word} ${(Number(ms) + start) % 2 ** 32}`,
            ),
          }
        : one,
    );
    expect(judge(table, wrapped).marks).toEqual([]);
  });

  it('may be absent: what crosses is counted, nothing is judged', () => {
    const { marks, ledger } = judge(
      table,
      clean.filter(({ kind }) => kind !== 'printed'),
    );
    expect(marks).toEqual([]);
    const { counts } = ledger.values[0]!;
    expect(counts.notified).toBeGreaterThan(100);
    expect(counts.unjudged).toBe(counts.notified + counts.read);
  });
});
