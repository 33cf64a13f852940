import { describe, expect, it } from 'vitest';
import { faultByName } from '../board/faults/registry.ts';
import type { Fault } from '../board/model.ts';
import { judge, recordSession } from '../../test/support/ledger-session.ts';

/** What a board with a planted fault leaves in the ledger: kinds of marks, by value. */
const faulty: readonly (readonly [string, RegExp])[] = [
  ['change-not-notified', /^lost (count|fast|slow)$/],
  ['never-indicated', /^lost alarm$/],
  ['period-doubled', /^lost level$/],
  ['notification-one-behind', /^stale (count|fast|slow)$/],
  ['write-without-effect', /^lost (speed|order|title)$/],
  ['command-ignored', /^lost order$/],
  ['refused-but-changed', /^wrong limit$/],
  // A value that was clamped is another; when it is clamped to what is held already, nothing changes at all.
  ['out-of-range-clamped', /^(wrong|lost) limit$/],
  ['byte-order-swapped', /^(wrong|stale) /],
  ['console-tells-another-truth', /^(wrong|stale|reordered) /],
];

function fault(name: string): Fault {
  const found = faultByName(name);
  if (found === undefined) throw new Error(`there is no fault ${name}`);
  return found;
}

describe('the ledger of a faulty board', () => {
  it.each(faulty)('%s', async (name, expected) => {
    const { table, observations } = await recordSession(6, 1, fault(name));
    const { marks } = judge(table, observations);
    expect(marks.length).toBeGreaterThan(0);
    expect(marks.filter((mark) => !expected.test(mark))).toEqual([]);
  });

  // Right values in a wrong way: matters of the proof, not of the ledger.
  it.each(['rate-bound-ignored', 'hash-order-reversed', 'subscription-reads-off'])(
    '%s leaves no mark',
    async (name) => {
      const { table, observations } = await recordSession(6, 1, fault(name));
      expect(judge(table, observations).marks).toEqual([]);
    },
  );
});
