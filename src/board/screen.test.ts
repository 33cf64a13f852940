import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { drawScreen } from './screen.ts';

function busy(): Bench {
  const bench = new Bench();
  bench.pass(3_723_400);
  const client = bench.connect();
  client.subscribe('count', 1);
  client.subscribe('alarm', 2);
  client.write('speed', '7d00');
  bench.pass(12_000);
  client.read('total');
  bench.type('set count 258');
  bench.pass(400);
  return bench;
}

function draw(bench: Bench, columns: number, rows: number, page = 1): readonly string[] {
  return drawScreen(bench.table, bench.board.state, bench.clock.now(), { columns, rows, page });
}

describe('the text screen', () => {
  it('shows the whole server on 80 columns', () => {
    const lines = draw(busy(), 80, 24);
    expect(lines.slice(0, 5)).toEqual([
      'Bench                                                                    1:02:15',
      'count                    258                    N N 0.4s 02010000               ',
      'speed                    1.25 Hz                - W 12s  7d00                   ',
      'level                    0 m                    - -      0000                   ',
      'lamp                     false                  - -      00                     ',
    ]);
    expect(lines.at(-1)).toBe('1 client, advertising                                                        1/1');
  });

  it('takes two rows for each value on 40 columns', () => {
    const lines = draw(busy(), 40, 30);
    expect(lines.slice(0, 5)).toEqual([
      'Bench                            1:02:15',
      'count                                258',
      ' N N 0.4s 02010000                      ',
      'speed                            1.25 Hz',
      ' - W 12s  7d00                          ',
    ]);
    expect(lines.at(-1)).toBe('1 client, advertising                1/2');
    expect(draw(busy(), 40, 30, 2).join('\n')).toContain('ratio');
    // A page past the last is the last.
    expect(draw(busy(), 40, 30, 9)).toEqual(draw(busy(), 40, 30, 2));
  });

  it('fills any display exactly, and every value is on one of its pages', () => {
    const bench = busy();
    fc.assert(
      fc.property(fc.integer({ min: 20, max: 200 }), fc.integer({ min: 4, max: 100 }), (columns, rows) => {
        const seen: string[] = [];
        for (let page = 1; page <= bench.table.values.length; page++) {
          const lines = draw(bench, columns, rows, page);
          if (lines.length !== rows) return false;
          if (lines.some((line) => Array.from(line).length !== columns)) return false;
          seen.push(...lines);
        }
        return bench.table.values.every(({ label }) => seen.some((line) => line.startsWith(`${label} `)));
      }),
      { numRuns: 60 },
    );
  });

  it('lets no character move the cursor', () => {
    const bench = new Bench();
    bench.type('set title =1b5b324ae280ae0a');
    expect(draw(bench, 80, 24).join('')).not.toMatch(/[\p{Cc}\u202e]/u);
  });
});
