import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { us } from '../base/quantity.ts';
import type { Rig } from './model.ts';
import type { NotifyPolicy } from '../contract/model.ts';
import { afterChange, afterPublishing, afterSubscription, atRest, dueTime } from './policy.ts';

const onChange: NotifyPolicy = { on: { kind: 'change' }, minSpacing: us(100) };
const every: NotifyPolicy = { on: { kind: 'every', period: us(50) }, minSpacing: us(50) };

describe('a value published on change', () => {
  it('is due at once, then not before the spacing', () => {
    const first = afterChange(atRest, onChange, true);
    expect(dueTime(first, onChange)).toBe(0);
    const second = afterChange(afterPublishing(first, onChange, us(1000)), onChange, true);
    expect(dueTime(second, onChange)).toBe(1100);
  });

  it('is not kept for somebody who subscribes later', () => {
    expect(dueTime(afterChange(atRest, onChange, false), onChange)).toBeUndefined();
    const waiting = afterChange(afterPublishing(atRest, onChange, us(0)), onChange, true);
    expect(dueTime(afterSubscription(waiting, onChange, false, us(10)), onChange)).toBeUndefined();
  });
});

describe('a value published periodically', () => {
  it('starts with the first subscription and keeps its grid', () => {
    const subscribed = afterSubscription(atRest, every, true, us(7));
    expect(dueTime(subscribed, every)).toBe(7);
    const sent = afterPublishing(subscribed, every, us(7));
    expect(dueTime(sent, every)).toBe(57);
    // A second client changes nothing.
    expect(dueTime(afterSubscription(sent, every, true, us(20)), every)).toBe(57);
  });

  it('does not gain speed after a delay', () => {
    const late = afterPublishing(afterSubscription(atRest, every, true, us(0)), every, us(3));
    expect(dueTime(late, every)).toBe(53);
    const veryLate = afterPublishing(late, every, us(1000));
    expect(dueTime(veryLate, every)).toBe(1050);
  });

  it('rests when nobody listens, and keeps the spacing for who comes back', () => {
    const sent = afterPublishing(afterSubscription(atRest, every, true, us(0)), every, us(0));
    const resting = afterSubscription(sent, every, false, us(10));
    expect(dueTime(resting, every)).toBeUndefined();
    expect(dueTime(afterSubscription(resting, every, true, us(20)), every)).toBe(50);
  });
});

describe('the board', () => {
  /** Milliseconds to wait and a number to set, again and again. */
  const changes = fc.array(fc.record({ wait: fc.nat(150), value: fc.nat(1000) }), { minLength: 1, maxLength: 60 });

  it('never breaks a rate bound, sends only what was true, and ends with the latest value', () => {
    fc.assert(
      fc.property(changes, (list) => {
        const bench = new Bench();
        const client = bench.connect();
        client.subscribe('count', 1);
        bench.printed();
        for (const { wait, value } of list) {
          bench.pass(wait);
          bench.board.type(`set count ${value}`);
        }
        bench.pass(200);
        const told = bench.parsed().flatMap((line) => (line.kind === 'tell' ? [line.value] : []));
        const truths = told.map((value) => Buffer.from(value).toString('hex'));
        const sent = client.values('count');
        const gaps = sent.slice(1).map(({ ms }, i) => ms - sent[i]!.ms);
        expect(Math.min(...gaps, 100)).toBeGreaterThanOrEqual(100);
        expect(sent.filter(({ value }) => !truths.includes(value))).toEqual([]);
        expect(sent.at(-1)?.value).toBe(truths.at(-1));
      }),
      { numRuns: 100 },
    );
  });

  it('sends a periodic value on its grid, changed or not', () => {
    const bench = new Bench();
    const client = bench.connect();
    bench.pass(13);
    client.connection.send(Uint8Array.of(0x12, client.handle('level') + 1, 0, 1, 0));
    bench.pass(500);
    expect(client.values('level').map(({ ms }) => ms)).toEqual([13, 63, 113, 163, 213, 263, 313, 363, 413, 463, 513]);
  });

  it('spaces indications by their confirmations too', () => {
    const bench = new Bench();
    const client = bench.connect();
    client.subscribe('alarm', 2);
    for (const value of [1, 2, 3]) bench.board.type(`set alarm ${value}`);
    expect(client.values('alarm').map(({ value }) => value)).toEqual(['01']);
    client.connection.send(Uint8Array.of(0x1e));
    expect(client.values('alarm').map(({ value }) => value)).toEqual(['01', '03']);
  });

  it('sends values due at one time in one PDU to a client that takes several', () => {
    const together: Rig<number> = {
      every: us(10_000),
      start: () => 0,
      step(count, world) {
        world.set('count', count + 1);
        world.set('dye', 'rhodamine');
        return count + 1;
      },
    };
    const bench = new Bench({ rig: together });
    const client = bench.connect();
    const features = bench.table.rows.find(({ type }) => type === '2B29')!.handle;
    client.ask(Uint8Array.of(0x12, features, 0, 0x04));
    client.subscribe('dye', 1);
    client.subscribe('count', 1);
    client.received();
    bench.pass(10);
    // Opcode, then handle, length and value of each. Core Vol 3 Part F 3.4.7.4.
    const [count, dye] = ['count', 'dye'].map((id) => client.handle(id).toString(16).padStart(2, '0'));
    expect(client.received()).toEqual([`23${count}00040001000000${dye}00010002`]);
  });
});
