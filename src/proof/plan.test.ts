import { describe, expect, it } from 'vitest';
import { boardTable } from '../../test/support/board-table.ts';
import { us } from '../base/quantity.ts';
import { planProof } from './plan.ts';
import { families } from './verdict.ts';

const table = boardTable();
const ids = (only: readonly string[]): readonly string[] => planProof(table, { only }).map(({ id }) => id);

describe('the plan of a proof', () => {
  it('gives each case an id of its own, made of its family, its subject and its name', () => {
    const cases = planProof(table);
    expect(new Set(cases.map(({ id }) => id)).size).toBe(cases.length);
    for (const { id, family, kind, about } of cases) {
      expect(id).toMatch(/^[a-z-]+\/[a-z0-9-]+\/[a-z0-9-]+$/);
      expect(id.startsWith(`${family}/`)).toBe(true);
      expect(kind.startsWith(`${family}/`)).toBe(true);
      expect(about).toMatch(/^\S.*\.$/);
    }
  });

  it('is the same each time', () => {
    expect(planProof(table).map(({ id }) => id)).toEqual(planProof(boardTable()).map(({ id }) => id));
  });

  it('has cases of every family', () => {
    const present = new Set(planProof(table, { below: true }).map(({ family }) => family));
    expect(families.filter((family) => !present.has(family))).toEqual([]);
    expect(planProof(table).filter(({ family }) => family === 'link')).toEqual([]);
  });

  it('asks first for what nothing may have changed before', () => {
    const asFound = planProof(table).map((one) => one.asFound);
    expect(asFound.indexOf(false)).toBe(asFound.filter(Boolean).length);
  });

  it('keeps the ids of the other values when one is added', () => {
    const fewer = { ...table, values: table.values.slice(0, -1) };
    const after = new Set(planProof(table).map(({ id }) => id));
    expect(planProof(fewer).filter(({ id }) => !after.has(id))).toEqual([]);
  });

  it('is filtered by family, by id and by pattern', () => {
    expect(ids(['mtu']).every((id) => id.startsWith('mtu/'))).toBe(true);
    expect(ids(['writes/speed/max'])).toEqual(['writes/speed/max']);
    expect(ids(['*/speed/max'])).toEqual(['writes/speed/max']);
    expect(ids(['wr*/sp*d/m*'])).toEqual(['writes/speed/min', 'writes/speed/max', 'writes/speed/mid']);
    expect(ids(['speed'])).toEqual([]);
    expect(ids(['*'])).toEqual(planProof(table).map(({ id }) => id));
    expect(ids(['writes/speed/max*max'])).toEqual([]);
  });

  it('takes the length of the soak and of the fuzz', () => {
    const about = (options: Parameters<typeof planProof>[1]): string =>
      planProof(table, options)
        .flatMap((one) => (/soak|fuzz/.test(one.id) ? [one.about] : []))
        .join(' ');
    expect(about({ soak: us(3_600_000_000), packets: 7 })).toMatch(/After 7 packets.* For 3600 s/);
  });
});
