import { describe, expect, it } from 'vitest';
import { faultByName } from '../../src/board/faults/registry.ts';
import { boardTable } from '../support/board-table.ts';
import { narrowLink } from '../support/narrow-link.ts';
import { freshLink, prove } from '../support/proof-bench.ts';

const table = boardTable();

describe('a link without raw PDUs, handles and error numbers', { timeout: 60_000 }, () => {
  it('passes what it can ask, and counts the rest as not reachable', async () => {
    const { counts, total } = await prove(table, { link: narrowLink(freshLink(table), []) });
    expect(counts.failed + counts.inconclusive).toBe(0);
    expect(counts.passed).toBeGreaterThan(120);
    expect(counts.notReachable).toBe(total - counts.passed);
  });

  it('reaches more with a console', async () => {
    const { counts } = await prove(table, { link: narrowLink(freshLink(table), ['console']) });
    expect(counts.failed + counts.inconclusive).toBe(0);
    expect(counts.passed).toBeGreaterThan(220);
  });

  it.each([
    ['write-without-effect', 'writes/speed/max'],
    ['byte-order-swapped', 'reads/speed/value'],
    ['wrong-length-accepted', 'refusals/speed/one-octet-long'],
    ['write-property-missing', 'structure/bench/discovery'],
    ['notified-unasked', 'notifications/dye/unasked'],
  ])('sees %s by %s', async (name, id) => {
    const link = narrowLink(freshLink(table, { fault: faultByName(name) }), []);
    const { results } = await prove(table, { link, only: [id] });
    expect(results.map(({ verdict }) => verdict)).toEqual(['failed']);
  });

  it('does not see which number an error has', async () => {
    const link = narrowLink(freshLink(table, { fault: faultByName('length-code-wrong') }), []);
    const { counts } = await prove(table, { link, only: ['refusals/speed/*'] });
    expect(counts.failed).toBe(0);
    expect(counts.passed).toBeGreaterThan(3);
  });
});
