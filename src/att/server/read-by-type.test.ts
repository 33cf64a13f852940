import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, labTable } from '../../../test/support/att-table.ts';

describe('Read By Type', () => {
  it('lists three declarations with 16-bit UUIDs at an MTU of 23', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('08 0100 ffff 0328')).toBe('0907' + '0200020300002a' + '0400020500012a' + '0700200800052a');
  });

  it('lists one declaration with a 128-bit UUID at an MTU of 23', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('08 0e00 ffff 0328')).toBe('0915' + '0f00' + '1a1000' + 'd0418e5b0c2f779a3a4c5e0f02001d6b');
  });

  it('stops before a value of another length', () => {
    const bench = new ServerBench(labTable(247));
    bench.ask('02 f700');
    const response = bench.ask('08 0700 ffff 0328');
    expect(response).toBe('0907' + '0700200800052a' + '0a000a0b00292b' + '0c00020d002a2b');
  });

  it('reads one value by its own 128-bit type', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('08 0100 ffff d0418e5b0c2f779a3a4c5e0f02001d6b')).toBe('0903' + '1000' + '2a');
    expect(bench.told()).toEqual([{ kind: 'read', connection: 1, index: 0 }]);
  });

  it('gives MTU - 4 octets of a long value, and at most 253', () => {
    const long = handTable([
      {
        uuid: '180F',
        characteristics: [1, 2, 3].map((n) => ({
          id: `n${n}`,
          uuid: '2A3D',
          type: { kind: 'bytes', minLength: 0, maxLength: 512 },
          start: new Uint8Array(n === 3 ? 252 : 300 + n).fill(n),
        })),
      },
    ]);
    const bench = new ServerBench(long);
    expect(bench.ask('08 0100 ffff 3d2a')).toBe('0915' + '0300' + '01'.repeat(19));
    bench.ask('02 0502');
    expect(bench.ask('08 0100 ffff 3d2a')).toBe('09ff' + '0300' + '01'.repeat(253) + '0500' + '02'.repeat(253));
  });

  it('stops before an attribute that the client may not read, and refuses when it is the first', () => {
    const table = handTable([
      {
        uuid: '180F',
        characteristics: [
          { id: 'a', uuid: '2A19' },
          { id: 'b', uuid: '2A19', needs: { read: 'encrypted' } },
          { id: 'c', uuid: '2A19' },
          { id: 'd', uuid: '2A19', access: ['write'] },
        ],
      },
    ]);
    const bench = new ServerBench(table);
    expect(bench.ask('08 0100 ffff 192a')).toBe('0903' + '030000');
    expect(bench.ask('08 0400 ffff 192a')).toBe('0108050005');
    expect(bench.ask('08 0800 ffff 192a')).toBe('0108090002');
    bench.secure({ encrypted: true });
    expect(bench.ask('08 0100 ffff 192a')).toBe('0903' + '030000' + '050000' + '070000');
  });

  it.each([
    ['handle 0', '08 0000 ffff 0328', '0108000001'],
    ['start behind end', '08 0300 0200 0328', '0108030001'],
    ['no such type', '08 0100 ffff 0028ff', '0108000004'],
    ['no such attribute', '08 0100 ffff 0429', '010801000a'],
    ['no such attribute in the range', '08 1000 1000 0328', '010810000a'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });
});
