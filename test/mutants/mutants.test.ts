import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../../src/base/clock.ts';
import { faults } from '../../src/board/faults/registry.ts';
import type { Fault } from '../../src/board/model.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { inMemoryLink } from '../../src/links/in-memory.ts';
import type { Case } from '../../src/proof/case.ts';
import { planProof } from '../../src/proof/plan.ts';
import { runProof } from '../../src/proof/run.ts';
import type { CaseResult } from '../../src/proof/verdict.ts';
import { check } from '../../src/table/check.ts';
import { caughtBy } from './caught.ts';

const { table } = check(readFileSync(new URL('every-kind.yaml', import.meta.url))).value!;
const cases = planProof(table);
const byId = new Map(cases.map((one) => [one.id, one]));

async function prove(chosen: readonly Case[], fault?: Fault): Promise<readonly CaseResult[]> {
  const board = new VirtualBoard(table, { clock: new VirtualClock(), fault });
  const { results } = await runProof(inMemoryLink(board), table, { cases: chosen });
  return results;
}

describe('a correct board', { timeout: 60_000 }, () => {
  it('passes every case', async () => {
    const results = await prove(cases);
    expect(results.filter(({ verdict }) => verdict !== 'passed')).toEqual([]);
    expect(results.length).toBe(cases.length);
  });
});

describe('a planted fault', { timeout: 60_000 }, () => {
  it.each(faults.map((fault) => [fault.name, fault] as const))('%s is caught', async (name, fault) => {
    const ids = caughtBy[name] ?? [];
    expect(ids, 'name the cases that catch it in caught.ts').not.toEqual([]);
    const verdicts: string[] = [];
    for (const id of ids) {
      const [result] = await prove([byId.get(id)!], fault);
      verdicts.push(`${id} ${result?.bug === true ? 'broke' : result?.verdict}`);
    }
    expect(verdicts).toEqual(ids.map((id) => `${id} failed`));
  });
});

describe('the account of faults and cases', () => {
  it('names only faults and cases that there are', () => {
    const names = new Set(faults.map(({ name }) => name));
    expect(Object.keys(caughtBy).filter((name) => !names.has(name))).toEqual([]);
    expect(
      Object.values(caughtBy)
        .flat()
        .filter((id) => !byId.has(id)),
    ).toEqual([]);
  });

  it('has a fault for every kind of case, so that none passes whatever the board does', () => {
    const failing = new Set(
      Object.values(caughtBy)
        .flat()
        .map((id) => byId.get(id)?.kind),
    );
    const idle = [...new Set(cases.map(({ kind }) => kind))].filter((kind) => !failing.has(kind));
    expect(idle).toEqual([]);
  });
});
