import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Gate } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { RealClock } from './real-clock.ts';

// The machine's time is a fake here, so that no test waits.
beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const ms = (count: number): ReturnType<typeof us> => us(count * 1000);

describe('the real clock', () => {
  it('counts microseconds from where it was made', () => {
    vi.advanceTimersByTime(5);
    const clock = new RealClock();
    expect(clock.now()).toBe(0);
    vi.advanceTimersByTime(12);
    expect(clock.now()).toBe(12_000);
  });

  it('goes on where it was when the machine has slept, if it is told how long a gap may be', () => {
    const clock = new RealClock({ longestGap: ms(1000) });
    const ran: number[] = [];
    clock.schedule(ms(5000), () => ran.push(clock.now()));
    vi.advanceTimersByTime(900);
    expect(clock.now()).toBe(900_000);
    // Asleep: time passes, no timer runs.
    const asleep = vi.spyOn(performance, 'now').mockReturnValue(performance.now() + 8 * 3600 * 1000);
    expect(clock.now()).toBe(1_900_000);
    expect(clock.now()).toBe(1_900_000);
    asleep.mockRestore();
    expect(ran).toEqual([]);
  });

  it('runs calls in the order of their times, and in the order scheduled at one time', () => {
    const clock = new RealClock();
    const ran: string[] = [];
    for (const [name, at] of [
      ['c', 30],
      ['a', 10],
      ['b1', 20],
      ['b2', 20],
      ['now', 0],
    ] as const) {
      clock.schedule(ms(at), () => ran.push(`${name} at ${clock.now() / 1000}`));
    }
    vi.advanceTimersByTime(100);
    expect(ran).toEqual(['now at 0', 'a at 10', 'b1 at 20', 'b2 at 20', 'c at 30']);
  });

  it('never runs a call early, though timers count whole milliseconds', () => {
    const clock = new RealClock();
    let at = 0;
    clock.schedule(us(10_001), () => {
      at = clock.now();
    });
    vi.advanceTimersByTime(10);
    expect(at).toBe(0);
    vi.advanceTimersByTime(1);
    expect(at).toBeGreaterThanOrEqual(10_001);
  });

  describe('that catches up', () => {
    it('runs what is late in order, each call at the time it was due, with what it schedules in between', () => {
      const clock = new RealClock({ catchUp: true });
      const ran: string[] = [];
      const note = (name: string): void => {
        ran.push(`${name} at ${clock.now() / 1000}`);
      };
      const tick = (at: number): void => {
        clock.schedule(ms(at), () => {
          note('tick');
          if (at < 50) tick(at + 5);
        });
      };
      tick(5);
      clock.schedule(ms(12), () => {
        note('other');
        clock.schedule(clock.now(), () => {
          note('soon');
        });
      });
      // The process is busy for 21 ms, then its timer comes.
      const late = vi.spyOn(performance, 'now').mockReturnValue(performance.now() + 21);
      vi.advanceTimersByTime(5);
      late.mockRestore();
      expect(ran).toEqual(['tick at 5', 'tick at 10', 'other at 12', 'soon at 12', 'tick at 15', 'tick at 20']);
      vi.advanceTimersByTime(45);
      expect(ran.slice(6).map((line) => line.slice(8))).toEqual(['25', '30', '35', '40', '45', '50']);
      expect(vi.getTimerCount()).toBe(0);
    });

    it('tells nobody an earlier time than it has told before', () => {
      const clock = new RealClock({ catchUp: true });
      const ran: number[] = [];
      clock.schedule(ms(10), () => ran.push(clock.now()));
      const late = vi.spyOn(performance, 'now').mockReturnValue(performance.now() + 21);
      expect(clock.now()).toBe(21_000);
      vi.advanceTimersByTime(10);
      late.mockRestore();
      expect(ran).toEqual([21_000]);
    });

    it('lets the process do other work though there is always something due', () => {
      const clock = new RealClock({ catchUp: true });
      let calls = 0;
      const again = (): void => {
        calls += 1;
        if (calls < 10_000) clock.schedule(clock.now(), again);
      };
      clock.schedule(ms(1), again);
      let now = performance.now() + 1;
      const passing = vi.spyOn(performance, 'now').mockImplementation(() => (now += 0.5));
      vi.advanceTimersByTime(1);
      passing.mockRestore();
      expect(calls).toBeGreaterThan(1);
      expect(calls).toBeLessThan(100);
      expect(vi.getTimerCount()).toBe(1);
    });
  });

  it('takes back what was scheduled', () => {
    const clock = new RealClock();
    const ran: string[] = [];
    const cancel = clock.schedule(ms(10), () => ran.push('first'));
    clock.schedule(ms(20), () => ran.push('second'));
    cancel();
    cancel();
    vi.advanceTimersByTime(50);
    expect(ran).toEqual(['second']);
    expect(vi.getTimerCount()).toBe(0);
  });

  it('waits longer than one timer can', () => {
    const clock = new RealClock();
    const days = 40 * 86_400_000;
    let ran = false;
    clock.schedule(ms(days), () => {
      ran = true;
    });
    vi.advanceTimersByTime(days - 1);
    expect(ran).toBe(false);
    vi.advanceTimersByTime(1);
    expect(ran).toBe(true);
  });

  it('waits for a gate, or for the limit', async () => {
    const clock = new RealClock();
    const gate = new Gate();
    const opened = clock.waitFor(gate, ms(100));
    clock.schedule(ms(10), () => {
      gate.open();
    });
    vi.advanceTimersByTime(10);
    expect(await opened).toBe(true);
    // The limit is taken back: nothing keeps the process alive.
    expect(vi.getTimerCount()).toBe(0);

    const never = clock.waitFor(new Gate(), ms(100));
    vi.advanceTimersByTime(100);
    expect(await never).toBe(false);
    expect(await clock.waitFor(gate, ms(1))).toBe(true);
  });

  it('sleeps', async () => {
    const clock = new RealClock();
    const slept = clock.sleep(ms(10));
    vi.advanceTimersByTime(10);
    await slept;
    expect(clock.now()).toBe(10_000);
  });
});
