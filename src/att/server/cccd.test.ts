import { describe, expect, it } from 'vitest';
import { bondedLink, ServerBench } from '../../../test/support/att-bench.ts';
import { labIndex, labTable } from '../../../test/support/att-table.ts';

describe('CCCD', () => {
  it('tells the board who subscribed to what', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('12 1100 0100')).toBe('13');
    expect(bench.told()).toEqual([
      { kind: 'subscription', connection: 1, index: labIndex.level, notify: true, indicate: false },
    ]);
    bench.ask('12 1900 0200');
    expect(bench.told()).toEqual([
      { kind: 'subscription', connection: 1, index: labIndex.alarm, notify: false, indicate: true },
    ]);
    bench.ask('12 1100 0000');
    expect(bench.told()).toEqual([
      { kind: 'subscription', connection: 1, index: labIndex.level, notify: false, indicate: false },
    ]);
    bench.ask('12 0900 0200');
    expect(bench.told()).toEqual([]);
  });

  it.each([
    ['indicate where only notify is', '12 1100 0200', '01121100fd'],
    ['notify where only indicate is', '12 1900 0100', '01121900fd'],
    ['reserved bits', '12 2300 0400', '01122300fd'],
    ['one octet', '12 1100 01', '011211000d'],
    ['three octets', '12 1100 010000', '011211000d'],
    ['not secure', '12 1c00 0100', '01121c0005'],
  ])('refuses %s', (_, request, response) => {
    const bench = new ServerBench(labTable());
    expect(bench.ask(request)).toBe(response);
    expect(bench.connection().cccds.size).toBe(0);
  });

  it('is each connection\u2019s own', () => {
    const bench = new ServerBench(labTable());
    bench.connect(2, 'second');
    bench.ask('12 1100 0100', 1);
    expect(bench.ask('0a 1100', 1)).toBe('0b0100');
    expect(bench.ask('0a 1100', 2)).toBe('0b0000');
  });

  it('is reset when a peer without a bond leaves', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 1100 0100');
    bench.disconnect();
    expect(bench.connect(2, 'first')).toEqual([]);
    expect(bench.ask('0a 1100', 2)).toBe('0b0000');
    expect(bench.publish(labIndex.level)).toEqual([]);
  });

  it('is kept for a peer with a bond', () => {
    const bench = new ServerBench(labTable());
    bench.secure(bondedLink);
    bench.ask('12 1100 0100');
    bench.disconnect();
    expect(bench.publish(labIndex.level)).toEqual([]);
    expect(bench.connect(2, 'first')).toEqual([
      { kind: 'subscription', connection: 2, index: labIndex.level, notify: true, indicate: false },
    ]);
    expect(bench.ask('0a 1100', 2)).toBe('0b0100');
    bench.publish(labIndex.level);
    expect(bench.sent(2)).toBe('1b10002a');
  });
});
