import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Gate, VirtualClock } from './clock.ts';
import { ms, showTime, toMs, toUs, us, wholeMs } from './quantity.ts';

describe('virtual time', () => {
  it('passes only while somebody waits, and then to the microsecond', async () => {
    const clock = new VirtualClock();
    const seen: string[] = [];
    clock.schedule(us(20), () => seen.push(`b at ${clock.now()}`));
    clock.schedule(us(10), () => seen.push(`a at ${clock.now()}`));
    clock.schedule(us(20), () => seen.push(`c at ${clock.now()}`));
    expect(seen).toEqual([]);
    await clock.sleep(us(20));
    expect(seen).toEqual(['a at 10', 'b at 20', 'c at 20']);
    expect(clock.now()).toBe(20);
  });

  it('runs what is scheduled on the way if it falls due in time', () => {
    const clock = new VirtualClock();
    const seen: number[] = [];
    const tick = (): void => {
      seen.push(clock.now());
      clock.schedule(us(clock.now() + 7), tick);
    };
    clock.schedule(us(0), tick);
    clock.advance(us(21));
    expect(seen).toEqual([0, 7, 14, 21]);
  });

  it('runs what was due in the past as soon as it can', () => {
    const clock = new VirtualClock();
    clock.advance(us(100));
    const seen: number[] = [];
    clock.schedule(us(5), () => seen.push(clock.now()));
    clock.advance(us(0));
    expect(seen).toEqual([100]);
  });

  it('never goes back when something run on the way waits longer itself', () => {
    const clock = new VirtualClock();
    const times: number[] = [];
    clock.schedule(us(10), () => {
      clock.advance(us(1000));
    });
    clock.schedule(us(500), () => times.push(clock.now()));
    clock.advance(us(20));
    expect(clock.now()).toBe(1010);
    expect(times).toEqual([500]);
  });

  it('forgets what was cancelled', () => {
    const clock = new VirtualClock();
    let ran = false;
    const cancel = clock.schedule(us(10), () => {
      ran = true;
    });
    cancel();
    cancel();
    clock.advance(us(20));
    expect(ran).toBe(false);
  });

  it('calls in order of time, then of scheduling', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(50), { maxLength: 60 }), (times) => {
        const clock = new VirtualClock();
        const seen: { at: number; order: number }[] = [];
        times.forEach((at, order) => clock.schedule(us(at), () => seen.push({ at, order })));
        clock.advance(us(50));
        expect(seen).toEqual(
          times.map((at, order) => ({ at, order })).sort((a, b) => a.at - b.at || a.order - b.order),
        );
      }),
    );
  });
});

describe('gates', () => {
  it('let a wait end as soon as they open', async () => {
    const clock = new VirtualClock();
    const gate = new Gate();
    clock.schedule(us(30), () => {
      gate.open();
    });
    clock.schedule(us(40), () => expect.unreachable('after the gate'));
    expect(await clock.waitFor(gate, us(100))).toBe(true);
    expect(clock.now()).toBe(30);
  });

  it('let a wait end at its limit', async () => {
    const clock = new VirtualClock();
    expect(await clock.waitFor(new Gate(), us(100))).toBe(false);
    expect(clock.now()).toBe(100);
  });

  it('call everybody who waits once, also who comes late', () => {
    const gate = new Gate();
    const seen: string[] = [];
    gate.whenOpen(() => seen.push('early'));
    expect(gate.isOpen).toBe(false);
    gate.open();
    gate.open();
    gate.whenOpen(() => seen.push('late'));
    expect(seen).toEqual(['early', 'late']);
  });
});

describe('times', () => {
  it('convert without loss where there is none', () => {
    expect(toUs(ms(1.25))).toBe(1250);
    expect(toUs(ms(0.625))).toBe(625);
    expect(toMs(us(1250))).toBe(1.25);
    expect(wholeMs(us(1999))).toBe(1);
  });

  it.each([
    [0, '0 ms'],
    [150, '150 µs'],
    [999, '999 µs'],
    [1250, '1.25 ms'],
    [30_000, '30 ms'],
    [1_500_000, '1500 ms'],
    [4_000_000, '4 s'],
    [-2_000_000, '-2 s'],
  ])('%d µs are shown as %s', (time, text) => {
    expect(showTime(us(time))).toBe(text);
  });
});
