import { describe, expect, it } from 'vitest';
import { us } from '../../src/base/quantity.ts';
import { markOf } from '../../src/ledger/entry.ts';
import { Ledger } from '../../src/ledger/ledger.ts';
import { ledgerTable } from '../support/ledger-session.ts';

describe('the ledger', () => {
  it('takes a thousand events a second for two hours in bounded memory, and misses none', () => {
    let entries = 0;
    let marks = 0;
    const ledger = new Ledger(ledgerTable(), {
      onEntry: (entry) => {
        if (entry.kind !== 'link') entries += 1;
        if (markOf(entry) !== undefined) marks += 1;
      },
    });
    const octets = (n: number): Uint8Array => new Uint8Array(Uint32Array.of(n).buffer);
    ledger.take({ kind: 'printed', at: us(0), line: 'tell 0 count ffffffff start' });
    ledger.take({ kind: 'connected', at: us(0), connection: 1, mtu: 100 });
    ledger.take({ kind: 'subscribed', asked: us(0), at: us(1), connection: 1, id: 'count', mode: 'notify' });
    const changes = 2 * 3600 * 500;
    let most = 0;
    for (let i = 5; i < changes; i++) {
      const at = us(i * 2000);
      const line = `tell ${i * 2} count ${Buffer.from(octets(i)).toString('hex')} rig`;
      ledger.take({ kind: 'printed', at, line });
      ledger.take({ kind: 'notified', at: us(at + 1000), connection: 1, id: 'count', value: octets(i) });
      most = Math.max(most, ledger.remembered);
    }
    ledger.finish();
    expect(marks).toBe(0);
    expect(entries).toBe(2 * (changes - 5) + 1);
    expect(most).toBeLessThan(7000);
    const { count, median, exact } = ledger.values[0]!.delays.down.summary();
    expect({ count, exact }).toEqual({ count: changes - 5, exact: false });
    expect(Math.abs(median / 1000 - 1)).toBeLessThanOrEqual(0.011);
  });
});
