import fc from 'fast-check';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import type { Table } from '../table/model.ts';
import { arrivalFaults, staleFault, writeFaults, type PlantedFault } from '../../test/support/ledger-faults.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';
import type { Observation } from './observation.ts';

// Whole sessions are judged many times over.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

let table: Table;
let clean: readonly Observation[];

beforeAll(async () => {
  ({ table, observations: clean } = await recordSession(24));
});

describe('the ledger of a clean session', () => {
  it('has no mark, and pairs each crossing with the truth it carried', () => {
    const { entries, marks, ledger } = judge(table, clean);
    expect(marks).toEqual([]);
    const air = entries.filter((entry) => entry.kind === 'air');
    expect(air.length).toBeGreaterThan(1000);
    expect(air.filter(({ version }) => version === undefined)).toEqual([]);
    expect(ledger.values.map(({ counts }) => counts.unjudged)).toEqual(table.values.map(() => 0));
  });

  it('knows how long each way took: 15 ms there', () => {
    const { ledger, entries } = judge(table, clean);
    const of = (id: string) => ledger.values.find(({ definition }) => definition.id === id)!;
    expect(of('count').delays.down.summary()).toMatchObject({ median: 15_000, p95: 15_000, worst: 15_000 });
    // The board stamps whole milliseconds.
    const { least, worst } = of('speed').delays.up.summary();
    expect([least, worst].every((delay) => Math.abs(delay - 15_000) <= 1000)).toBe(true);
    expect(of('speed').delays.read.summary()).toMatchObject({ median: 30_000 });
    // A change waits for the rate; what goes by meanwhile is let go: four of five.
    const { definition, counts } = of('fast');
    const air = entries.filter(
      (entry) => entry.kind === 'air' && entry.way === 'notified' && entry.value === definition.index,
    );
    const told = entries.filter(
      ({ kind, value, at }) =>
        kind === 'truth' && value === definition.index && at >= air[0]!.at && at < air.at(-1)!.at,
    );
    expect(counts.notified).toBe(air.length);
    expect(counts.notified / told.length).toBeCloseTo(0.2, 2);
    expect(Math.abs(told.length - counts.notified - counts.coalesced)).toBeLessThan(6);
  });
});

const faults: readonly [string, PlantedFault][] = [
  ...Object.entries(arrivalFaults).flatMap(([name, plant]) =>
    ['count', 'fast', 'slow', 'level', 'alarm'].map((id): [string, PlantedFault] => [`${name} ${id}`, plant(id)]),
  ),
  ['stale read of level', staleFault('level', 'read')],
  ['stale read of fast', staleFault('fast', 'read')],
  ['stale level', staleFault('level', 'notified')],
  ...Object.entries(writeFaults).map(([name, plant]): [string, PlantedFault] => [`write ${name}`, plant]),
];

describe('a planted fault is named, and nothing else:', () => {
  it.each(faults)('%s', (_, plant) => {
    let planted = 0;
    for (let after = 3_000_000; after < 20_000_000; after += 2_270_000) {
      const choice = (after % 1_000_003) / 1_000_003;
      const result = plant(clean, after, choice);
      if (result === undefined) continue;
      planted += 1;
      expect({ after, marks: judge(table, result.observations).marks }).toEqual({ after, marks: result.marks });
    }
    expect(planted).toBeGreaterThanOrEqual(3);
  });

  it('several in one session', () => {
    const one = fc.record({
      fault: fc.nat({ max: faults.length - 1 }),
      choice: fc.double({ min: 0, max: 1, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(one, { minLength: 1, maxLength: 4 }), (chosen) => {
        let observations: readonly Observation[] = clean;
        const expected: string[] = [];
        for (const [i, { fault, choice }] of chosen.entries()) {
          const planted = faults[fault]![1](observations, 3_000_000 + i * 4_000_000, choice);
          if (planted === undefined) continue;
          observations = planted.observations;
          expected.push(...planted.marks);
        }
        expect([...judge(table, observations).marks].sort()).toEqual(expected.sort());
      }),
      { numRuns: 30 },
    );
  });
});
