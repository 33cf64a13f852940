import { describe, expect, it } from 'vitest';
import { boardTable } from '../../test/support/board-table.ts';
import { narrowLink } from '../../test/support/narrow-link.ts';
import { freshLink, prove } from '../../test/support/proof-bench.ts';
import { nowhere } from '../base/text-range.ts';
import { us } from '../base/quantity.ts';
import { faultByName } from '../board/faults/registry.ts';
import type { Case } from './case.ts';
import { planProof } from './plan.ts';
import { isProved, runProof } from './run.ts';
import type { Trial } from './trial.ts';

const table = boardTable();

function caseOf(id: string, run: (trial: Trial) => Promise<void>, more: Partial<Case> = {}): Case {
  return {
    id,
    family: 'reads',
    kind: id,
    about: 'A case of the test.',
    requires: [],
    place: nowhere,
    asFound: false,
    run,
    ...more,
  };
}

const passing = caseOf('reads/a/passing', (trial) => {
  trial.claim(true, 'one');
  return Promise.resolve();
});
const failing = caseOf('reads/a/failing', (trial) => {
  trial.claim(false, 'one', 'two');
  return Promise.resolve();
});
const idle = caseOf('reads/a/idle', () => Promise.resolve());
const broken = caseOf('reads/a/broken', () => Promise.reject(new Error('a mistake of ours')));

describe('a proof', () => {
  it('counts verdicts and keeps the order', async () => {
    const result = await prove(table, { cases: [passing, failing, idle, passing] });
    expect(result.counts).toEqual({ passed: 2, failed: 1, notReachable: 0, inconclusive: 1 });
    expect(result.results.map(({ id }) => id)).toEqual([passing.id, failing.id, idle.id, passing.id]);
    expect(isProved(result)).toBe(false);
  });

  it('goes on after a case that breaks, and marks it as a mistake of the program', async () => {
    const { results } = await prove(table, { cases: [broken, passing] });
    expect(results.map(({ verdict, bug }) => [verdict, bug])).toEqual([
      ['failed', true],
      ['passed', false],
    ]);
    expect(results[0]!.seen).toBe('the case itself broke: a mistake of ours');
  });

  it('ends the connections of a case that breaks', async () => {
    const link = freshLink(table);
    const leaky = caseOf('reads/a/leaky', async (trial) => {
      await trial.connect();
      throw new Error('a mistake of ours');
    });
    await prove(table, { link, cases: [leaky, leaky] });
    expect((await link.connect()).ok).toBe(true);
  });

  it('does not run what the link cannot reach', async () => {
    const link = narrowLink(freshLink(table), ['console']);
    const cases = [
      caseOf('reads/a/raw', () => Promise.reject(new Error('it ran')), { requires: ['raw-pdu', 'console', 'mtu'] }),
    ];
    const { results } = await prove(table, { link, cases });
    expect(results[0]).toMatchObject({ verdict: 'not-reachable', seen: 'this link does not reach: raw-pdu and mtu' });
  });

  it('tells its progress and waits for who is told', async () => {
    const told: string[] = [];
    await prove(table, {
      cases: [passing, failing],
      onCase: async ({ verdict }, { done, total }) => {
        await Promise.resolve();
        told.push(`${verdict} ${done}/${total}`);
      },
    });
    expect(told).toEqual(['passed 1/2', 'failed 2/2']);
  });

  it('stops when asked, and keeps what it has', async () => {
    const stop = new AbortController();
    const result = await prove(table, {
      cases: [passing, passing, passing],
      signal: stop.signal,
      onCase: (_, { done }) => {
        if (done === 2) stop.abort();
      },
    });
    expect([result.results.length, result.total, isProved(result)]).toEqual([2, 3, false]);
  });

  it('stops in the middle of a long case, which then has no verdict', async () => {
    const stop = new AbortController();
    let rests = 0;
    const result = await prove(table, {
      only: ['mtu/board/default', 'soak'],
      soak: us(3_600_000_000),
      signal: stop.signal,
      breathe: () => {
        if (++rests === 3) stop.abort();
      },
    });
    expect(result.results.map(({ id }) => id)).toEqual(['mtu/board/default']);
    expect([result.total, rests]).toEqual([2, 3]);
  });

  it('is the same from the same seed, and another from another', async () => {
    const only = ['malformed/table/fuzz', 'soak'];
    const fingerprint = async (seed: number): Promise<string> =>
      JSON.stringify((await prove(table, { only, seed })).results);
    const first = await fingerprint(1);
    expect(await fingerprint(1)).toBe(first);
    expect(await fingerprint(2)).not.toBe(first);
  });

  it('gives a case its own random numbers, whatever runs before it', async () => {
    const drawn: number[] = [];
    const drawing = caseOf('reads/a/drawing', (trial) => {
      drawn.push(trial.random.int(1_000_000));
      return Promise.resolve();
    });
    const other = caseOf('reads/a/other', (trial) => Promise.resolve(void trial.random.int(9)));
    await prove(table, { cases: [drawing] });
    await prove(table, { cases: [other, drawing] });
    expect(drawn[0]).toBe(drawn[1]);
  });

  it('asks for start values only of a board that was just powered up', async () => {
    const link = freshLink(table);
    await link.clock.sleep(us(6_000_000));
    const { results } = await runProof(link, table, { cases: planProof(table, { only: ['reads/speed/start'] }) });
    expect(results[0]).toMatchObject({ verdict: 'not-reachable', seen: 'it has been up for 6 s' });
  });

  it('keeps the beginning and the end of a long exchange', async () => {
    const chatty = caseOf('reads/a/chatty', async (trial) => {
      const client = await trial.connect();
      for (let i = 0; i < 300; i++) await client.mustAnswer(Uint8Array.of(0x0a, 1, 0), 'a read');
    });
    const { results } = await prove(table, { cases: [chatty] });
    const { exchange, leftOut } = results[0]!;
    expect(exchange.length + leftOut!.count).toBe(601);
    expect(exchange[0]).toMatchObject({ kind: 'word', by: 'link' });
    expect(exchange[leftOut!.before]).toMatchObject({ kind: 'pdu' });
  });

  it('survives a board that never advertises again', async () => {
    const fault = faultByName('advertising-not-restarted');
    const result = await prove(table, { board: { fault }, only: ['reads', 'writes'] });
    expect(result.counts.failed).toBeGreaterThan(0);
    expect(result.results.some(({ bug }) => bug)).toBe(false);
  });
});
