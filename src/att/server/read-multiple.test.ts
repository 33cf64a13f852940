import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { labIndex, labTable } from '../../../test/support/att-table.ts';

describe('Read Multiple', () => {
  it('gives the values one behind the other, in the order asked', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0e 1800 1000 1800')).toBe('0f' + '3412' + '2a' + '3412');
    expect(bench.told()).toEqual([
      { kind: 'read', connection: 1, index: labIndex.alarm },
      { kind: 'read', connection: 1, index: labIndex.level },
      { kind: 'read', connection: 1, index: labIndex.alarm },
    ]);
  });

  it('is cut at MTU - 1 octets', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0e 1000 1600').length / 2).toBe(23);
  });

  it.each([
    ['the first that does not exist', '0e 1000 3000 2000', '010e300001'],
    ['the first that may not be read', '0e 1000 2000 3000', '010e200002'],
    ['the first that needs more security', '0e 1000 1b00', '010e1b0005'],
    ['a single handle', '0e 1000', '010e000004'],
    ['half a handle', '0e 1000 10', '010e000004'],
  ])('refuses all for %s', (_, request, response) => {
    const bench = new ServerBench(labTable());
    expect(bench.ask(request)).toBe(response);
    expect(bench.told()).toEqual([]);
  });
});

describe('Read Multiple Variable', () => {
  it('gives each value behind its length', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('20 1300 1000')).toBe('21' + '02006869' + '01002a');
  });

  it('is cut at MTU - 1 octets within a value, whose length is whole', () => {
    const bench = new ServerBench(labTable());
    const block = '000102030405060708090a0b0c0d0e0f10';
    expect(bench.ask('20 1000 1600 1000')).toBe('21' + '01002a' + '1e00' + block);
  });

  it('never ends within a length', () => {
    const bench = new ServerBench(labTable());
    // 2 + 19 octets fill 21 of 22; a length does not fit in what is left.
    bench.set(labIndex.note, '61'.repeat(19));
    expect(bench.ask('20 1300 1000')).toBe('21' + '1300' + '61'.repeat(19));
    // 2 + 18: the length fits, its value does not.
    bench.set(labIndex.note, '61'.repeat(18));
    expect(bench.ask('20 1300 1000')).toBe('21' + '1200' + '61'.repeat(18) + '0100');
  });

  it.each([
    ['0x01', '20 1000 3000', '0120300001'],
    ['0x02', '20 2000 3000', '0120200002'],
    ['0x04', '20 1000', '0120000004'],
  ])('refuses all with %s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });
});
