import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, labTable } from '../../../test/support/att-table.ts';

describe('Find Information', () => {
  it('lists five 16-bit types at an MTU of 23', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('04 0100 ffff')).toBe('0501' + '01000028' + '02000328' + '0300002a' + '04000328' + '0500012a');
  });

  it('lists one 128-bit type at an MTU of 23, and never both lengths in one response', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('04 0f00 ffff')).toBe('0501' + '0f000328');
    expect(bench.ask('04 1000 ffff')).toBe('0502' + '1000' + 'd0418e5b0c2f779a3a4c5e0f02001d6b');
    expect(bench.ask('04 1100 ffff')).toBe('0501' + '11000229' + '12000328');
  });

  it('fills a larger MTU', () => {
    const bench = new ServerBench(labTable(65));
    bench.ask('02 4100');
    const response = bench.ask('04 0100 ffff');
    expect(response.length / 2).toBe(2 + 4 * 15);
  });

  it.each([
    ['handle 0', '04 0000 ffff', '0104000001'],
    ['start behind end', '04 0500 0400', '0104050001'],
    ['nothing there', '04 3000 ffff', '010430000a'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });
});

describe('Find By Type Value', () => {
  /** Twelve services of one UUID: more than a response holds. */
  const many = handTable(
    Array.from({ length: 12 }, (_, i) => ({
      uuid: '180F',
      at: 1 + 16 * i,
      characteristics: [{ id: `n${i}`, uuid: '2A19' }],
    })),
  );

  it('gives the range of a service by its UUID', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('06 0100 ffff 0028 0118')).toBe('07' + '06000d00');
  });

  it('finds a service by a 128-bit UUID: MTU - 7 octets of value, 16 at an MTU of 23', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('06 0100 ffff 0028 d0418e5b0c2f779a3a4c5e0f01001d6b')).toBe('07' + '0e002300');
  });

  it('lists five at an MTU of 23', () => {
    const bench = new ServerBench(many);
    expect(bench.ask('06 0100 ffff 0028 0f18')).toBe(
      '07' + '01000300' + '11001300' + '21002300' + '31003300' + '41004300',
    );
  });

  it('ends a characteristic where the next begins, and any other attribute at itself', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('06 0100 ffff 0328 020300002a')).toBe('07' + '02000300');
    expect(bench.ask('06 0100 ffff 012a 4005')).toBe('07' + '05000500');
  });

  it.each([
    ['another value', '06 0100 ffff 0028 0f18', '010601000a'],
    ['a longer value', '06 0100 ffff 0028 011800', '010601000a'],
    ['outside the range', '06 0700 ffff 0028 0118', '010607000a'],
    ['handle 0', '06 0000 ffff 0028 0118', '0106000001'],
    ['start behind end', '06 0200 0100 0028 0118', '0106020001'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });

  it('does not find what the client may not read', () => {
    const table = handTable([
      {
        uuid: '180F',
        characteristics: [{ id: 'battery', uuid: '2A19', needs: { read: 'encrypted' }, start: Uint8Array.of(9) }],
      },
    ]);
    const bench = new ServerBench(table);
    expect(bench.ask('06 0100 ffff 192a 09')).toBe('010601000a');
    bench.secure({ encrypted: true });
    expect(bench.ask('06 0100 ffff 192a 09')).toBe('07' + '03000300');
  });
});
