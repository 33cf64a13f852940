import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import type { ConsolePort } from '../att/link.ts';
import { Truth } from './truth.ts';

/** A console that prints what the test says. */
function fakeConsole(
  answer: (line: string) => readonly string[] = () => [],
): ConsolePort & { print(line: string): void } {
  const listeners = new Set<(line: string) => void>();
  const print = (line: string): void => {
    for (const listener of listeners) listener(line);
  };
  return {
    print,
    send(line) {
      answer(line).forEach(print);
    },
    onLine(listener) {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
  };
}

const octets = (...values: readonly number[]): Uint8Array => Uint8Array.from(values);

describe('the truth by the console', () => {
  it('is asked for, set and dated', async () => {
    const asked: string[] = [];
    const port = fakeConsole((line) => {
      asked.push(line);
      if (line === 'get speed') return ['boot: 3 V', 'value 12 speed 9001 4 Hz', 'done get'];
      if (line === 'time') return ['time 12', 'done time'];
      return line === 'set speed =0a00' ? ['tell 12 speed 0a00 console', 'done set'] : ['error set range no'];
    });
    const truth = new Truth(port, new VirtualClock());
    expect(await truth.get('speed')).toEqual(octets(0x90, 1));
    expect(await truth.set('speed', octets(10, 0))).toBe(true);
    expect(await truth.set('speed', octets(0xff, 0xff))).toBe(false);
    expect(await truth.uptime()).toBe(12);
    expect(asked).toEqual(['get speed', 'set speed =0a00', 'set speed =ffff', 'time']);
  });

  it('gives up a console that says nothing', async () => {
    const clock = new VirtualClock();
    const truth = new Truth(fakeConsole(), clock);
    expect(await truth.get('speed')).toBeUndefined();
    expect(clock.now()).toBe(us(3_000_000));
  });

  it('keeps the changes of each value, by marks', () => {
    const port = fakeConsole();
    const truth = new Truth(port, new VirtualClock());
    port.print('tell 1 a 01 rig');
    port.print('tell 1 b 07 rig');
    const mark = truth.mark();
    port.print('tell 2 a 02 air');
    port.print('tell 3 a 03 rig');
    const values = (since: number): readonly number[] => truth.changes('a', since).map(({ value }) => value[0]!);
    expect(values(0)).toEqual([1, 2, 3]);
    expect(values(mark)).toEqual([2, 3]);
    expect(truth.before('a', mark)?.value).toEqual(octets(1));
    expect(truth.before('c', mark)).toBeUndefined();
    truth.forget(mark);
    expect(values(0)).toEqual([1, 2, 3]);
    truth.forget(truth.mark());
    expect(values(0)).toEqual([3]);
  });

  it('knows what was held since a mark', () => {
    const port = fakeConsole();
    const truth = new Truth(port, new VirtualClock());
    const mark = truth.mark();
    port.print('tell 1 a 02 air');
    expect(truth.held('a', octets(1), mark, octets(1))).toBe(true);
    expect(truth.held('a', octets(2), mark, octets(1))).toBe(true);
    expect(truth.held('a', octets(3), mark, octets(1))).toBe(false);
    expect(truth.held('a', octets(2), truth.mark(), undefined)).toBe(false);
  });

  it('tells each change as it comes, and stops when closed', () => {
    const port = fakeConsole();
    const told: string[] = [];
    const truth = new Truth(port, new VirtualClock(), ({ id, cause }) => told.push(`${id} ${cause}`));
    port.print('tell 1 a 02 failsafe');
    truth.close();
    port.print('tell 2 a 03 rig');
    expect(told).toEqual(['a failsafe']);
  });
});
