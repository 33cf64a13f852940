import { describe, expect, it } from 'vitest';
import { exampleTable } from '../../../test/support/budget-bench.ts';
import { us } from '../../base/quantity.ts';
import { connectionOf, type Connection } from '../air/connection.ts';
import { streamsOf } from '../link/stream.ts';
import { withWhatIf } from '../what-if.ts';
import { delays } from './delays.ts';

const tank = exampleTable('wave-tank');
const of = (table = tank, change: Partial<Connection> = {}) => {
  const connection = { ...connectionOf(table.radio), ...change };
  return delays(table, connection, streamsOf(table, connection), { seed: 3 }).values;
};

describe('delays of a contract', () => {
  it('are of every value that is notified, then of every one that is written', () => {
    expect(of().map(({ id, from }) => `${from} ${id}`)).toEqual([
      'change battery-level',
      'change crests',
      'change level',
      'change water',
      'change note',
      'write paddle',
      'write light',
      'write dye',
      'write caption',
      'write calibration',
    ]);
  });

  it('have the hold of their policy: the spacing of `at-most`, the period of `every`, none for a write', () => {
    const [, crests, level] = of();
    expect(crests!.hold).toEqual({ least: 0, most: 100_000 });
    expect(level!.hold).toEqual({ least: 0, most: 50_000 });
    expect(of().find(({ from }) => from === 'write')!.hold.most).toBe(0);
    // One interval, the packet of 12 octets without MIC: 8 (10 + 9) µs, and the hold.
    expect(level!.link.worst).toBeCloseTo(30_000 + 152, 0);
    expect(level!.whole.worst).toBeCloseTo(80_000 + 152, 0);
  });

  it('grow by queueing where the central allows little more than there is, and say when more comes than leaves', () => {
    // Of two pairs in 30 ms: 1.2 for the level, 0.5 for the crests, 0.12 for the note.
    const busy = withWhatIf(tank, { spacings: { level: us(25_000), crests: us(60_000) } });
    const full = of(busy, { mostPairs: 2 }).find(({ id }) => id === 'note')!;
    const free = of(busy).find(({ id }) => id === 'note')!;
    expect(full.loaded.mean.run).toBeGreaterThan(free.loaded.mean.run + 10_000);
    expect(full.lost).toBe(0);
    const over = withWhatIf(tank, { spacings: { level: us(600), crests: us(600) } });
    expect(of(over).find(({ id }) => id === 'level')!.lost).toBeGreaterThan(100);
  });

  it('shrink where others keep the events open', () => {
    // The events go on for most of the interval: a message need not wait for the next one.
    const kept = withWhatIf(tank, { spacings: { level: us(1500), crests: us(2000) } });
    expect(of(kept).find(({ id }) => id === 'note')!.loaded.mean.difference).toBeLessThan(-2000);
  });

  it('end in the supervision timeout on a link that hears little', () => {
    expect(of(tank, { packetErrorRate: 0.6, timeout: us(500_000) }).some(({ endsInTimeout }) => endsInTimeout)).toBe(
      true,
    );
    expect(of().some(({ endsInTimeout }) => endsInTimeout)).toBe(false);
  });

  it('are not known where no packet fits', () => {
    const [first] = of(tank, { phy: 'coded-s8', interval: us(1000) });
    expect(first).toMatchObject({ fits: false, curve: [] });
  });

  it('let a client’s write wait for a sleeping board, and no notification', () => {
    const sleepy = of(tank, { latency: 9 });
    const awake = of();
    const worst = (values: typeof awake, from: string) =>
      Math.max(...values.filter((v) => v.from === from).map((v) => v.link.worst));
    expect(worst(sleepy, 'write')).toBeGreaterThan(9 * 30_000);
    expect(worst(sleepy, 'change')).toBeCloseTo(worst(awake, 'change'), 0);
  });
});
