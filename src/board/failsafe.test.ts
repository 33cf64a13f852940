import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';

/** `speed` must be 0 within 2 s, `valve` at once, `lamp` keeps its value. */
function driven(): { bench: Bench; client: ReturnType<Bench['connect']> } {
  const bench = new Bench();
  const client = bench.connect();
  client.write('speed', '9001');
  client.write('valve', '01');
  client.write('lamp', '01');
  return { bench, client };
}

describe('a failsafe', () => {
  it.each(['lost', 'terminated'] as const)('runs after a link that was %s', (how) => {
    const { bench, client } = driven();
    client.connection.end(how);
    expect([bench.truth('valve'), bench.truth('speed'), bench.truth('lamp')]).toEqual(['00', '9001', '01']);
    bench.pass(2000);
    expect([bench.truth('valve'), bench.truth('speed'), bench.truth('lamp')]).toEqual(['00', '0000', '01']);
    expect(bench.printed().filter((line) => line.startsWith('tell') && line.endsWith('failsafe'))).toEqual([
      'tell 0 valve 00 failsafe',
      'tell 2000 speed 0000 failsafe',
    ]);
  });

  it('waits for the last client', () => {
    const { bench, client } = driven();
    const other = bench.connect('other');
    client.connection.end('lost');
    bench.pass(5000);
    expect(bench.truth('speed')).toBe('9001');
    other.connection.end('terminated');
    bench.pass(2000);
    expect(bench.truth('speed')).toBe('0000');
  });

  it('is not stopped by a client that comes back', () => {
    const { bench, client } = driven();
    client.connection.end('lost');
    bench.pass(1000);
    bench.connect('again');
    bench.pass(1000);
    expect(bench.truth('speed')).toBe('0000');
  });

  it('is stopped by a write, and only for the value written', () => {
    const { bench, client } = driven();
    client.connection.end('lost');
    bench.pass(1000);
    bench.printed();
    bench.connect('again').write('speed', '6400');
    expect(bench.printed()).toContain('note 1000 disarmed speed');
    bench.pass(5000);
    expect(bench.truth('speed')).toBe('6400');
  });

  it('is not put off by links that come and go', () => {
    const { bench, client } = driven();
    client.connection.end('lost');
    for (let i = 0; i < 4; i++) {
      bench.pass(490);
      bench.connect(`${i}`).connection.end('lost');
    }
    bench.pass(40);
    expect(bench.truth('speed')).toBe('0000');
  });

  it('is not stopped by the console', () => {
    const { bench, client } = driven();
    client.connection.end('lost');
    bench.type('set speed 3');
    bench.pass(2000);
    expect(bench.truth('speed')).toBe('0000');
  });

  it('comes within its time whenever the link is lost', () => {
    const story = fc.record({
      before: fc.nat(10_000),
      how: fc.constantFrom('lost' as const, 'terminated' as const),
      visits: fc.array(fc.record({ wait: fc.integer({ min: 1, max: 900 }), stay: fc.nat(900) }), { maxLength: 4 }),
    });
    fc.assert(
      fc.property(story, ({ before, how, visits }) => {
        const { bench, client } = driven();
        bench.pass(before);
        client.connection.end(how);
        const lost = bench.clock.now();
        for (const { wait, stay } of visits) {
          bench.pass(wait);
          const visitor = bench.connect('visitor');
          bench.pass(stay);
          visitor.connection.end('terminated');
        }
        bench.printed();
        bench.clock.advance(Math.max(0, lost + 2_000_000 - bench.clock.now()) as never);
        expect(bench.truth('speed')).toBe('0000');
        expect(bench.truth('lamp')).toBe('01');
      }),
      { numRuns: 100 },
    );
  });
});
