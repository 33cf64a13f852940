import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, labTable, ownUuid } from '../../../test/support/att-table.ts';

const four = handTable(
  ['1800', '1801', '180A', '180F'].map((uuid, i) => ({
    uuid,
    at: 1 + 0x10 * i,
    characteristics: [{ id: uuid, uuid: '2A19' }],
  })),
);

describe('Read By Group Type', () => {
  it('lists three services with 16-bit UUIDs at an MTU of 23', () => {
    const bench = new ServerBench(four);
    expect(bench.ask('10 0100 ffff 0028')).toBe('1106' + '010003000018' + '110013000118' + '210023000a18');
    expect(bench.ask('10 2400 ffff 0028')).toBe('1106' + '310033000f18');
  });

  it('lists services of both lengths in two responses', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('10 0100 ffff 0028')).toBe('1106' + '010005000018' + '06000d000118');
    bench.ask('02 0502');
    expect(bench.ask('10 0e00 ffff 0028')).toBe('1114' + '0e002300' + 'd0418e5b0c2f779a3a4c5e0f01001d6b');
  });

  it('cuts a 128-bit UUID that does not fit at MTU - 6, which at 23 never happens', () => {
    const bench = new ServerBench(labTable());
    // 4 + 16 octets are one entry of 20, within 21.
    expect(bench.ask('10 0e00 ffff 0028').length / 2).toBe(22);
  });

  it('lists secondary services apart, and a gap between services belongs to none', () => {
    const table = handTable([
      { uuid: '180A', characteristics: [] },
      { uuid: ownUuid(1), secondary: true, at: 0x20, characteristics: [{ id: 'x', uuid: '2A19' }] },
      { uuid: '180F', at: 0x40 },
    ]);
    const bench = new ServerBench(table);
    expect(bench.ask('10 0100 ffff 0028')).toBe('1106' + '010001000a18' + '400040000f18');
    expect(bench.ask('10 0100 ffff 0128')).toBe('1114' + '20002200' + 'd0418e5b0c2f779a3a4c5e0f01001d6b');
  });

  it.each([
    ['handle 0', '10 0000 ffff 0028', '0110000001'],
    ['start behind end', '10 0900 0800 0028', '0110090001'],
    ['characteristics are no groups that can be asked for', '10 0100 ffff 0328', '0110010010'],
    ['nor is any other type', '10 0100 ffff d0418e5b0c2f779a3a4c5e0f01001d6b', '0110010010'],
    ['no service behind', '10 3200 ffff 0028', '011032000a'],
    ['no secondary services', '10 0100 ffff 0128', '011001000a'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(four).ask(request)).toBe(response);
  });
});
