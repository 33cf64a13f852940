import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { hostFaults, type HostFault } from '../../src/board/faults/link.ts';
import type { Case } from '../../src/proof/case.ts';
import { planProof } from '../../src/proof/plan.ts';
import { runProof } from '../../src/proof/run.ts';
import { check } from '../../src/table/check.ts';
import { freshRadioLink } from '../support/proof-bench.ts';

const { table } = check(readFileSync(new URL('every-kind.yaml', import.meta.url))).value!;
const cases = planProof(table, { below: true, only: ['link'] });
const byId = new Map(cases.map((one) => [one.id, one]));

/** As caught.ts, of the faults between a board's host and its controller. */
const caughtBy: Readonly<Record<string, readonly string[]>> = {
  'parts-not-joined': ['link/board/parts'],
  'parts-mixed-up': ['link/board/parts-of-two'],
  'broken-frame-sticks': [
    'link/board/cut-frame',
    'link/board/stray-part',
    'link/board/overlong-frame',
    'link/board/vast-frame',
  ],
  'unknown-channel-echoed': ['link/board/unknown-channel'],
  'signals-unanswered': ['link/board/unknown-signal', 'link/board/long-signal'],
  'parameters-never-wished': ['link/board/wishes'],
  'pairing-unanswered': ['link/board/pairing-answered'],
  'parameters-end-link': ['link/board/parameters'],
  'loss-unnoticed': ['link/board/loss-noticed'],
};

async function verdictOf(one: Case, fault?: HostFault): Promise<string> {
  const { results } = await runProof(freshRadioLink(table, {}, { fault }), table, { cases: [one] });
  return `${one.id} ${results[0]?.bug === true ? 'broke' : results[0]?.verdict}`;
}

describe('what is below ATT', { timeout: 60_000 }, () => {
  it.each(cases.map((one) => [one.id, one] as const))('of a correct board passes %s', async (id, one) => {
    expect(await verdictOf(one)).toBe(`${id} passed`);
  });

  it.each(hostFaults.map((fault) => [fault.name, fault] as const))('with the fault %s fails', async (name, fault) => {
    const ids = caughtBy[name] ?? [];
    expect(ids).not.toEqual([]);
    const verdicts = [];
    for (const id of ids) verdicts.push(await verdictOf(byId.get(id)!, fault));
    expect(verdicts).toEqual(ids.map((id) => `${id} failed`));
  });

  it('has a fault for every case, so that none passes whatever the board does', () => {
    const failing = new Set(Object.values(caughtBy).flat());
    expect(cases.map(({ id }) => id).filter((id) => !failing.has(id))).toEqual([]);
  });
});
