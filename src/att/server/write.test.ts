import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { labIndex, labTable } from '../../../test/support/att-table.ts';

describe('Write Request', () => {
  it('writes, answers, and tells the board after the answer', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('12 1000 07')).toBe('13');
    expect(bench.effects.map(({ kind }) => kind)).toEqual(['send', 'written']);
    expect(bench.told()).toEqual([{ kind: 'written', connection: 1, index: labIndex.level, value: Uint8Array.of(7) }]);
    expect(bench.ask('0a 1000')).toBe('0b07');
  });

  it('leaves no tail of a longer text behind', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 1300 6c6f6e676572');
    bench.ask('12 1300 73');
    expect(bench.ask('0a 1300')).toBe('0b73');
    bench.ask('12 1300');
    expect(bench.ask('0a 1300')).toBe('0b');
  });

  it('writes a description that may be written', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('12 1400 6e6577')).toBe('13');
    expect(bench.ask('0a 1400')).toBe('0b6e6577');
    expect(bench.ask('12 1400 ff')).toBe('0112140013');
    expect(bench.ask('0a 1400')).toBe('0b6e6577');
  });

  it.each([
    ['handle 0', '12 0000 01', '0112000001'],
    ['a handle without attribute', '12 2400 01', '0112240001'],
    ['a declaration', '12 0f00 01', '01120f0003'],
    ['only readable', '12 1600 01', '0112160003'],
    ['only written by command', '12 2000 01', '0112200003'],
    ['security before length', '12 1b00 0102', '01121b0005'],
    ['too short', '12 1000', '011210000d'],
    ['too long', '12 1000 0102', '011210000d'],
    ['length before range', '12 1000 6500', '011210000d'],
    ['one over its range, with the error of the contract', '12 1000 65', '0112100080'],
    ['text that is no UTF-8', '12 1300 c0af', '01121300ff'],
    ['text over its length', `12 1300 ${'61'.repeat(61)}`, '011213000d'],
  ])('refuses and changes nothing: %s', (_, request, response) => {
    const bench = new ServerBench(labTable());
    bench.ask('02 0502');
    const before = bench.state;
    expect(bench.ask(request)).toBe(response);
    expect(bench.state).toEqual(before);
    expect(bench.told()).toEqual([]);
  });

  it('takes both ends of the range', () => {
    const bench = new ServerBench(labTable());
    expect([bench.ask('12 1000 00'), bench.ask('12 1000 64')]).toEqual(['13', '13']);
  });

  it('rejects a write that permissions allow on what cannot change', () => {
    const table = labTable();
    const rows = table.rows.map((row) =>
      row.handle === 0x16 - 1
        ? { ...row, permissions: { read: 'open', write: 'open', writeRequest: true, writeCommand: true } as const }
        : row,
    );
    expect(new ServerBench({ ...table, rows }).ask('12 1500 01')).toBe('01121500fc');
  });
});

describe('Write Command', () => {
  it('writes without an answer', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('52 2000 09')).toBe('');
    expect(bench.told()).toEqual([{ kind: 'written', connection: 1, index: labIndex.pulse, value: Uint8Array.of(9) }]);
    expect(bench.ask('52 1300 6f6b')).toBe('');
    expect(bench.ask('0a 1300')).toBe('0b6f6b');
  });

  it.each([
    ['no attribute', '52 2400 01'],
    ['only by request', '52 1000 01'],
    ['wrong length', '52 2000 0102'],
    ['no UTF-8', '52 1300 ff'],
    ['a CCCD', '52 1100 0100'],
    ['cut', '52 20'],
  ])('is ignored: %s', (_, command) => {
    const bench = new ServerBench(labTable());
    const before = bench.state;
    expect(bench.ask(command)).toBe('');
    expect(bench.effects).toEqual([]);
    expect(bench.state).toBe(before);
  });

  it('is ignored when signed: there is no key to check it with', () => {
    const bench = new ServerBench(labTable());
    const before = bench.state;
    expect(bench.ask(`d2 2000 01 ${'00'.repeat(12)}`)).toBe('');
    expect(bench.state).toBe(before);
  });
});
