import { describe, expect, it } from 'vitest';
import { boardTable } from '../../test/support/board-table.ts';
import { prove } from '../../test/support/proof-bench.ts';
import { faultByName } from '../board/faults/registry.ts';
import { toHex } from '../base/bytes.ts';
import { allCases, countWords, makeReport, needsAttention, type Report } from './report.ts';

const table = boardTable();

async function reportOn(fault: string | undefined, ...only: readonly string[]): Promise<Report> {
  const planted = fault === undefined ? undefined : faultByName(fault);
  return makeReport(await prove(table, { only, board: { fault: planted } }), table, 'a.yaml', 'line one\nline two\n');
}

describe('a report', () => {
  it('sorts its cases into families, in their order', async () => {
    const report = await reportOn(undefined, 'mtu', 'advertising', 'caching');
    expect(report.families.map(({ family }) => family)).toEqual(['advertising', 'mtu', 'caching']);
    expect(allCases(report).length).toBe(report.total);
    expect(report).toMatchObject({ file: 'a.yaml', link: 'virtual board, in memory', seed: 1, proved: true });
    expect(report.databaseHash).toBe(toHex(table.databaseHash.specification));
  });

  it('decodes the exchange, each response by its own request', async () => {
    const report = await reportOn(undefined, 'writes/speed/max');
    const lines = allCases(report)[0]!.exchange.flatMap((line) =>
      line.kind === 'pdu' ? [`${line.hex} ${line.about}`] : [],
    );
    expect(lines.find((line) => line.startsWith('12'))).toMatch(
      /^12....9001 Write Request: .*bench \/ speed: value.* 90 01 = 4 Hz$/,
    );
    expect(lines.find((line) => line.startsWith('0b'))).toMatch(
      /^0b9001 Read Response: .*speed: value.* 90 01 = 4 Hz$/,
    );
  });

  it('finds what needs attention, and says whether the board is proved', async () => {
    const report = await reportOn('failsafe-missing', 'link-loss');
    expect(report.proved).toBe(false);
    expect(
      allCases(report)
        .filter(needsAttention)
        .every(({ id }) => id.startsWith('link-loss/')),
    ).toBe(true);
    expect(countWords(report.counts)).toMatch(/^\d+ passed, \d+ failed$/);
  });

  it('counts in words only what there is', () => {
    expect(countWords({ passed: 0, failed: 0, notReachable: 0, inconclusive: 0 })).toBe('nothing run');
    expect(countWords({ passed: 1, failed: 0, notReachable: 2, inconclusive: 3 })).toBe(
      '1 passed, 3 inconclusive, 2 not reachable',
    );
  });
});
