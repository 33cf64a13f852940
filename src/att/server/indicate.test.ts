import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, labIndex, labTable } from '../../../test/support/att-table.ts';
import { us } from '../../base/quantity.ts';
import { nextServerDeadline } from '../server.ts';

/** Two values that are indicated, subscribed: handles 0x0003 and 0x0006. */
function two(): ServerBench {
  const bench = new ServerBench(
    handTable([
      {
        uuid: '180F',
        characteristics: [1, 2].map((n) => ({
          id: `n${n}`,
          uuid: '2A3D',
          access: ['indicate'],
          start: Uint8Array.of(n),
        })),
      },
    ]),
  );
  bench.ask('12 0400 0200');
  bench.ask('12 0700 0200');
  return bench;
}

describe('Indication', () => {
  it('waits for the confirmation of the one before', () => {
    const bench = two();
    bench.publish(0);
    expect(bench.sent()).toBe('1d030001');
    expect(bench.publish(1)).toEqual([]);
    expect(bench.ask('1e')).toBe('1d060002');
    expect(bench.told()).toEqual([{ kind: 'confirmed', connection: 1, index: 0 }]);
    expect(bench.ask('1e')).toBe('');
    expect(bench.told()).toEqual([{ kind: 'confirmed', connection: 1, index: 1 }]);
  });

  it('is sent once for a value that changed often while it waited, with the last value', () => {
    const bench = two();
    bench.publish(0);
    for (const value of ['11', '12', '13']) {
      bench.set(1, value);
      bench.publish(1);
    }
    expect(bench.ask('1e')).toBe('1d060013');
    expect(bench.ask('1e')).toBe('');
  });

  it('of a value that is on its way waits for its turn again', () => {
    const bench = two();
    bench.publish(0);
    bench.set(0, '22');
    bench.publish(0);
    expect(bench.ask('1e')).toBe('1d030022');
  });

  it('waits at each client alone', () => {
    const bench = two();
    bench.connect(2, 'second');
    bench.ask('12 0400 0200', 2);
    bench.publish(0);
    bench.ask('1e', 2);
    bench.publish(0);
    expect([bench.sent(1), bench.sent(2)]).toEqual(['', '1d030001']);
  });

  it('lets requests and notifications pass meanwhile', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 1900 0200');
    bench.ask('12 1100 0100');
    bench.publish(labIndex.alarm);
    expect(bench.ask('0a 1000')).toBe('0b2a');
    bench.publish(labIndex.level);
    expect(bench.sent()).toBe('1b10002a');
  });

  it('that waits is not sent any more after unsubscribing', () => {
    const bench = two();
    bench.publish(0);
    bench.publish(1);
    bench.ask('12 0700 0000');
    expect(bench.ask('1e')).toBe('');
  });

  it('is not confirmed by a confirmation that nobody waits for', () => {
    const bench = two();
    expect(bench.ask('1e')).toBe('');
    expect(bench.effects).toEqual([]);
    bench.publish(0);
    expect(bench.ask('1e00')).toBe('');
    expect(bench.connection().indicating?.handle).toBe(3);
  });

  it('is cut at MTU - 3 octets', () => {
    const bench = new ServerBench(
      handTable([
        {
          uuid: '180F',
          characteristics: [
            { id: 'b', uuid: '2A3D', type: { kind: 'bytes', minLength: 30, maxLength: 30 }, access: ['indicate'] },
          ],
        },
      ]),
    );
    bench.ask('12 0400 0200');
    bench.publish(0);
    expect(bench.sent().length / 2).toBe(23);
  });
});

describe('an indication without confirmation', () => {
  it('ends the connection after 30 s, once', () => {
    const bench = two();
    expect(nextServerDeadline(bench.options, bench.state)).toBeUndefined();
    bench.publish(0);
    expect(nextServerDeadline(bench.options, bench.state)).toBe(30_000_000);
    expect(bench.pass(29_999_999)).toEqual([]);
    expect(bench.pass(1)).toEqual([
      { kind: 'close', connection: 1, why: 'an indication was not confirmed within 30 s' },
    ]);
    expect(bench.pass(1)).toEqual([]);
    expect(nextServerDeadline(bench.options, bench.state)).toBeUndefined();
  });

  it('makes the server silent from then on', () => {
    const bench = two();
    bench.publish(0);
    bench.pass(30_000_000);
    expect([bench.ask('1e'), bench.ask('0a 0300')]).toEqual(['', '']);
    expect(bench.publish(1)).toEqual([]);
  });

  it('is noticed by whatever event comes first', () => {
    const bench = two();
    bench.publish(0);
    bench.at = us(30_000_000);
    expect(bench.ask('1e')).toBe('');
    expect(bench.effects.map(({ kind }) => kind)).toEqual(['close']);
  });

  it('leaves other clients alone', () => {
    const bench = two();
    bench.connect(2, 'second');
    bench.publish(0);
    bench.pass(30_000_000);
    expect(bench.ask('02 1700', 2)).toBe('030502');
  });
});
