import { describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { VirtualClock } from '../base/clock.ts';
import { keepTime } from './keep-time.ts';

describe('keeping time', () => {
  it('asks often at first, then every five seconds, until it is stopped', () => {
    const clock = new VirtualClock();
    clock.advance(us(2_000_000));
    const asked: number[] = [];
    const port = {
      send: (line: string) => asked.push(line === 'time' ? clock.now() / 1e6 : -1),
      onLine: () => () => undefined,
    };
    const stop = keepTime(port, clock);
    clock.advance(us(12_000_000));
    expect(asked).toEqual([2, 2.1, 2.3, 2.7, 3.5, 8.5, 13.5]);
    stop();
    clock.advance(us(60_000_000));
    expect(asked).toHaveLength(7);
  });
});
