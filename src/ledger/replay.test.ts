import { describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { VirtualClock } from '../base/clock.ts';
import type { Observation } from './observation.ts';
import { Replay } from './replay.ts';

const session: Observation[] = [1, 2, 3, 4].map((n) => ({ kind: 'printed', at: us(n * 1_000_000), line: String(n) }));

function played(): { clock: VirtualClock; replay: Replay; seen: string[] } {
  const clock = new VirtualClock();
  const seen: string[] = [];
  const replay = new Replay(
    session,
    clock,
    (one) => seen.push(`${one.kind === 'printed' ? one.line : ''} at ${clock.now() / 1e6}`),
    () => seen.push(`end at ${clock.now() / 1e6}`),
  );
  return { clock, replay, seen };
}

describe('a replay', () => {
  it('takes as long as the session did', () => {
    const { clock, replay, seen } = played();
    replay.start(1);
    clock.advance(us(10_000_000));
    expect(seen).toEqual(['1 at 0', '2 at 1', '3 at 2', '4 at 3', 'end at 3']);
    expect(replay.isOver).toBe(true);
  });

  it('goes at any speed, and pauses', () => {
    const { clock, replay, seen } = played();
    replay.start(10);
    clock.advance(us(150_000));
    replay.pause();
    clock.advance(us(60_000_000));
    expect(replay.now).toBe(2_500_000);
    replay.start(0.5);
    clock.advance(us(10_000_000));
    expect(seen).toEqual(['1 at 0', '2 at 0.1', '3 at 61.15', '4 at 63.15', 'end at 63.15']);
  });

  it('plays all at once', () => {
    const { replay, seen } = played();
    replay.start(Infinity);
    expect(seen).toEqual(['1 at 0', '2 at 0', '3 at 0', '4 at 0', 'end at 0']);
  });
});
