import { describe, expect, it } from 'vitest';
import { bondedLink, ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, labIndex, labTable } from '../../../test/support/att-table.ts';
import { utf8 } from '../../../test/support/contract-builder.ts';

describe('Notification', () => {
  it('goes to whoever subscribed, with the truth of the moment', () => {
    const bench = new ServerBench(labTable());
    bench.connect(2, 'second');
    bench.connect(3, 'third');
    bench.ask('12 1100 0100', 1);
    bench.ask('12 1100 0100', 3);
    bench.set(labIndex.level, '07');
    expect(bench.effects).toEqual([]);
    bench.publish(labIndex.level);
    expect([bench.sent(1), bench.sent(2), bench.sent(3)]).toEqual(['1b100007', '', '1b100007']);
  });

  it('stops at once after unsubscribing', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 1100 0100');
    bench.ask('12 1100 0000');
    expect(bench.publish(labIndex.level)).toEqual([]);
  });

  it('carries MTU - 3 octets of a longer value: 20 at an MTU of 23', () => {
    const table = handTable([
      { uuid: '180F', characteristics: [{ id: 'text', uuid: '2A3D', type: utf8(100), access: ['notify'] }] },
    ]);
    const bench = new ServerBench(table);
    bench.ask('12 0400 0100');
    bench.set(0, '61'.repeat(50));
    bench.publish(0);
    expect(bench.sent()).toBe('1b0300' + '61'.repeat(20));
    bench.ask('02 2300');
    bench.publish(0);
    expect(bench.sent()).toBe('1b0300' + '61'.repeat(32));
  });

  it('is chosen over an indication by a client that set both bits', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 2300 0300');
    bench.publish(labIndex.both);
    expect(bench.sent()).toBe('1b220007');
    bench.ask('12 2300 0200');
    bench.publish(labIndex.both);
    expect(bench.sent()).toBe('1d220007');
  });

  it('is not sent over a link less secure than the subscription needs', () => {
    const bench = new ServerBench(labTable());
    bench.secure(bondedLink);
    bench.ask('12 1c00 0100');
    bench.disconnect();
    bench.connect(2, 'first');
    expect(bench.publish(labIndex.secret)).toEqual([]);
    bench.secure(bondedLink, 2);
    bench.publish(labIndex.secret);
    expect(bench.sent(2)).toBe('1b1b0000');
  });
});

describe('Multiple Handle Value Notification', () => {
  const table = handTable([
    {
      uuid: '180F',
      characteristics: [1, 2, 3, 4].map((n) => ({
        id: `n${n}`,
        uuid: '2A3D',
        type: utf8(100),
        access: ['notify', 'indicate'],
        start: new Uint8Array(n).fill(0x60 + n),
      })),
    },
    {
      uuid: '1801',
      characteristics: [
        { id: 'f', uuid: '2B29', access: ['read', 'write'], content: { kind: 'client-supported-features' } },
      ],
    },
  ]);
  const subscribed = (features: string): ServerBench => {
    const bench = new ServerBench(table);
    for (const cccd of ['0400', '0700', '0a00', '0d00']) bench.ask(`12 ${cccd} 0100`);
    expect(bench.ask(`12 1000 ${features}`)).toBe('13');
    return bench;
  };

  it('carries several values to a client that can take it', () => {
    const bench = subscribed('04');
    bench.publish(0, 1, 2);
    expect(bench.sent()).toBe('23' + '0300010061' + '060002006262' + '09000300636363');
  });

  it('holds what fits whole; the rest follows', () => {
    const bench = subscribed('04');
    bench.publish(0, 1, 2, 3);
    // 5 + 6 + 7 = 18 of 22 octets; the fourth would need 8 more and goes alone.
    expect(bench.sent()).toBe('23' + '0300010061' + '060002006262' + '09000300636363' + ' 1b0c00' + '64646464');
  });

  it('fits two values that fill MTU - 1 octets, not one octet more', () => {
    const bench = subscribed('04');
    bench.set(0, '61'.repeat(7));
    bench.set(1, '62'.repeat(7));
    bench.publish(0, 1);
    expect(bench.sent()).toBe('23' + '03000700' + '61'.repeat(7) + '06000700' + '62'.repeat(7));
    bench.set(1, '62'.repeat(8));
    bench.publish(0, 1);
    expect(bench.sent()).toBe('1b0300' + '61'.repeat(7) + ' 1b0600' + '62'.repeat(8));
  });

  it('is not used for one value, nor for a client without the feature', () => {
    const bench = subscribed('04');
    bench.publish(2);
    expect(bench.sent()).toBe('1b0900636363');
    const plain = subscribed('01');
    plain.publish(0, 1);
    expect(plain.sent()).toBe('1b030061 1b06006262');
  });

  it('leaves out what is not subscribed or indicated, and repeats nothing', () => {
    const bench = subscribed('04');
    bench.ask('12 0700 0000');
    bench.ask('12 0a00 0200');
    bench.publish(0, 1, 2, 3, 0, 99);
    expect(bench.sent()).toBe('23' + '0300010061' + '0c00040064646464' + ' 1d0900636363');
  });

  it('cuts a value alone when it fits no PDU', () => {
    const bench = subscribed('04');
    bench.set(1, '7a'.repeat(30));
    bench.publish(0, 1, 2);
    expect(bench.sent()).toBe('1b030061' + ' 1b0600' + '7a'.repeat(20) + ' 1b0900636363');
  });
});
