import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { lab, labIndex, labTable } from '../../../test/support/att-table.ts';

/** Octets 0..29, the value of `block`. */
const block = Array.from({ length: 30 }, (_, i) => i.toString(16).padStart(2, '0')).join('');

describe('Read', () => {
  it('gives values, constants, descriptions, CCCDs and features', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0a 1000')).toBe('0b2a');
    expect(bench.ask('0a 0100')).toBe('0b0018');
    expect(bench.ask('0a 1400')).toBe('0b4e6f7465');
    expect(bench.ask('0a 1100')).toBe('0b0000');
    expect(bench.ask('0a 0b00')).toBe('0b00');
  });

  it('gives MTU - 1 octets of a long value: 22 at an MTU of 23', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0a 1600')).toBe('0b' + block.slice(0, 44));
    bench.ask('02 1e00');
    expect(bench.ask('0a 1600')).toBe('0b' + block.slice(0, 58));
  });

  it('gives the truth of the moment and tells the board of it', () => {
    const bench = new ServerBench(labTable());
    bench.set(labIndex.level, '07');
    expect(bench.ask('0a 1000')).toBe('0b07');
    expect(bench.told()).toEqual([{ kind: 'read', connection: 1, index: labIndex.level }]);
    bench.ask('0a 0300');
    expect(bench.told()).toEqual([]);
  });

  it.each([
    ['handle 0', '0a 0000', '010a000001'],
    ['a handle without attribute', '0a 2400', '010a240001'],
    ['only written', '0a 2000', '010a200002'],
    ['only notified', '0a 2200', '010a220002'],
    ['Service Changed', '0a 0800', '010a080002'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });
});

describe('Read Blob', () => {
  it('goes on where Read ended', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0c 1600 1600')).toBe('0d' + block.slice(44));
  });

  it('gives nothing at the very end, and refuses what is behind it', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0c 1600 1e00')).toBe('0d');
    expect(bench.ask('0c 1600 1f00')).toBe('010c160007');
  });

  it('gives a short value of variable length too', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0c 1300 0000')).toBe('0d6869');
    expect(bench.ask('0c 1300 0200')).toBe('0d');
    expect(bench.ask('0c 1300 0300')).toBe('010c130007');
  });

  it('says Attribute Not Long for a value of fixed length that fits one response', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0c 1000 0000')).toBe('010c10000b');
    expect(bench.ask('0c 1000 0200')).toBe('010c100007');
    bench.ask('02 1f00');
    expect(bench.ask('0c 1600 0000')).toBe('010c16000b');
  });

  it.each([
    ['handle 0', '0c 0000 0000', '010c000001'],
    ['not readable, before the offset', '0c 2000 ffff', '010c200002'],
    ['not encrypted, before the offset', '0c 1b00 ffff', '010c1b0005'],
  ])('%s', (_, request, response) => {
    expect(new ServerBench(labTable()).ask(request)).toBe(response);
  });

  it.each([23, 24, 30, 31, 32])('puts a value of 60 octets together at an MTU of %i', (mtu) => {
    const bench = new ServerBench(labTable());
    bench.ask(Uint8Array.of(0x02, mtu, 0));
    bench.set(labIndex.note, '61'.repeat(60));
    let seen = bench.ask('0a 1300').slice(2);
    while ((seen.length / 2) % (mtu - 1) === 0) {
      const part = bench.ask(Uint8Array.of(0x0c, lab.note, 0, seen.length / 2, 0));
      expect(part.slice(0, 2)).toBe('0d');
      if (part.length === 2) break;
      seen += part.slice(2);
    }
    expect(seen).toBe('61'.repeat(60));
  });
});
