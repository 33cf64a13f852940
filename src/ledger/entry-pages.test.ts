import { describe, expect, it, vi } from 'vitest';
import { us } from '../base/quantity.ts';
import { markOf, type Entry } from './entry.ts';
import { EntryPages, type EntrySpill } from './entry-pages.ts';

// Whole sessions are judged many times over.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

const entry = (n: number, value = 0, marked = false): Entry =>
  marked
    ? { kind: 'missing', value, at: us(n * 1000), connection: 1, mark: 'lost', version: n, raw: Uint8Array.of(n & 255) }
    : { kind: 'truth', value, version: n, at: us(n * 1000), ms: n, raw: Uint8Array.of(n & 255), cause: 'rig' };

function spill(): EntrySpill & { readonly size: () => number } {
  const kept = new Map<number, string>();
  return {
    size: () => kept.size,
    put: (page, entries) => {
      kept.set(page, JSON.stringify(entries));
    },
    get: (page) => Promise.resolve(kept.has(page) ? (JSON.parse(kept.get(page)!) as Entry[]) : undefined),
  };
}

const all = { value: undefined, marksOnly: false };

describe('pages of entries', () => {
  it('keep memory bounded, and give old windows back from where they were spilled', async () => {
    const disk = spill();
    const pages = new EntryPages(disk);
    let most = 0;
    for (let n = 0; n < 200_000; n++) {
      pages.add(entry(n));
      most = Math.max(most, pages.kept);
    }
    expect(most).toBeLessThan(34_000);
    expect(disk.size()).toBeGreaterThan(300);
    const { entries, thinned } = await pages.look(5_000_000, 5_020_000, 100, all);
    expect(entries.map(({ at }) => at / 1000)).toEqual(Array.from({ length: 21 }, (_, i) => 5000 + i));
    expect(thinned).toBe(false);
    expect((await pages.look(199_990_000, 1e12, 100, all)).entries).toHaveLength(10);
  });

  it('thin what cannot be drawn, but never a mark', async () => {
    const pages = new EntryPages(spill());
    for (let n = 0; n < 100_000; n++) pages.add(entry(n, n % 2, n % 5001 === 17));
    const { entries, thinned } = await pages.look(0, 1e12, 200, all);
    expect(thinned).toBe(true);
    expect(entries.filter((one) => markOf(one) !== undefined)).toHaveLength(20);
    expect(entries.length).toBeLessThanOrEqual(420);
    expect(entries.map(({ at }) => at)).toEqual([...entries.map(({ at }) => at)].sort((a, b) => a - b));
  });

  it('filter by value and by mark', async () => {
    const pages = new EntryPages(undefined);
    for (let n = 0; n < 1000; n++) pages.add(entry(n, n % 3, n % 100 === 0));
    const one = await pages.look(0, 1e12, 1000, { value: 1, marksOnly: false });
    expect(new Set(one.entries.map(({ value }) => value))).toEqual(new Set([1]));
    const marked = await pages.look(0, 1e12, 1000, { value: undefined, marksOnly: true });
    expect(marked.entries.map(({ at }) => at / 100_000)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
  });

  it('forget what memory has no room for where nothing takes it', async () => {
    const pages = new EntryPages(undefined);
    for (let n = 0; n < 50_000; n++) pages.add(entry(n));
    expect((await pages.look(0, 1_000_000, 100, all)).entries).toEqual([]);
    expect((await pages.look(49_000_000, 49_010_000, 100, all)).entries).toHaveLength(11);
  });
});
