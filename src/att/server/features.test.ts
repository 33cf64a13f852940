import { describe, expect, it } from 'vitest';
import { bondedLink, ServerBench } from '../../../test/support/att-bench.ts';
import { labTable } from '../../../test/support/att-table.ts';

describe('Client Supported Features', () => {
  it('keeps what a client says, and each client\u2019s own', () => {
    const bench = new ServerBench(labTable());
    bench.connect(2, 'second');
    expect(bench.ask('12 0b00 05')).toBe('13');
    expect([bench.ask('0a 0b00', 1), bench.ask('0a 0b00', 2)]).toEqual(['0b05', '0b00']);
  });

  it('lets bits be added, never cleared', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 0b00 01');
    expect(bench.ask('12 0b00 05')).toBe('13');
    expect(bench.ask('12 0b00 04')).toBe('01120b0013');
    expect(bench.ask('12 0b00 00')).toBe('01120b0013');
    expect(bench.ask('0a 0b00')).toBe('0b05');
  });

  it('drops bits and octets that have no meaning yet', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('12 0b00 f9ffff')).toBe('13');
    expect(bench.ask('0a 0b00')).toBe('0b01');
    expect(bench.ask('12 0b00 01')).toBe('13');
  });

  it.each([
    ['none', '12 0b00'],
    ['17 octets', `12 0b00 ${'00'.repeat(17)}`],
  ])('refuses %s', (_, request) => {
    expect(new ServerBench(labTable()).ask(request)).toBe('01120b000d');
  });

  it('are kept with a bond and gone without', () => {
    const bench = new ServerBench(labTable());
    bench.connect(2, 'second');
    bench.secure(bondedLink, 1);
    bench.ask('12 0b00 01', 1);
    bench.ask('12 0b00 01', 2);
    bench.disconnect(1);
    bench.disconnect(2);
    bench.connect(3, 'first');
    bench.connect(4, 'second');
    expect([bench.ask('0a 0b00', 3), bench.ask('0a 0b00', 4)]).toEqual(['0b01', '0b00']);
  });
});
