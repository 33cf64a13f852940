import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../src/table/check.ts';
import type { WaveTank } from './rig.ts';
import rig, { steadyAmplitude, waveNumber } from './rig.ts';
import { Bench } from '../../test/support/bench-client.ts';

const checked = check(readFileSync(new URL('contract.yaml', import.meta.url)));
const table = checked.value!.table;

function tank(seed = 1): Bench {
  return new Bench({ table, rig, seed });
}

const crests = (bench: Bench): number =>
  Number.parseInt(Buffer.from(bench.truth('crests'), 'hex').readUInt32LE().toString());
const metres = (hex: string): number => Buffer.from(hex, 'hex').readInt16LE() / 10_000;

describe('linear wave theory', () => {
  // Deep water: k = ω²/g; shallow water: ω = k sqrt(g h). Dean & Dalrymple, chapter 3 (from memory).
  it('has both ends right', () => {
    expect(waveNumber(4)).toBeCloseTo((2 * Math.PI * 4) ** 2 / 9.81, 6);
    expect(waveNumber(0.01) * Math.sqrt(9.81 * 0.3)).toBeCloseTo(2 * Math.PI * 0.01, 5);
  });

  it('satisfies ω² = g k tanh(k h) in between', () => {
    for (let f = 0.05; f <= 4; f += 0.05) {
      const k = waveNumber(f);
      expect(9.81 * k * Math.tanh(k * 0.3)).toBeCloseTo((2 * Math.PI * f) ** 2, 8);
    }
  });

  // Recomputed independently by bisection for 1 Hz and 0.3 m: k = 4.576416 rad/m, height over stroke 1.298911.
  it('gives the height of a piston wavemaker', () => {
    expect(waveNumber(1)).toBeCloseTo(4.576416, 6);
    expect(steadyAmplitude(1)).toBeCloseTo(((0.1 * 1.298911) / 2) * Math.exp(-0.02 * 1.2), 6);
    expect(steadyAmplitude(0)).toBe(0);
  });

  it('never makes a wave that would break', () => {
    for (let f = 0.1; f <= 4; f += 0.1) {
      const k = waveNumber(f);
      expect(2 * steadyAmplitude(f)).toBeLessThanOrEqual(0.142 * ((2 * Math.PI) / k) * Math.tanh(k * 0.3));
    }
  });
});

describe('the wave tank', () => {
  it('has a contract without errors', () => {
    expect(checked.findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it.each([0.5, 1, 1.25, 2.5, 4])('counts a crest for every stroke at %d Hz', (frequency) => {
    const bench = tank();
    bench.type(`set paddle ${frequency}`);
    bench.pass(20_000);
    const before = crests(bench);
    bench.pass(60_000);
    const counted = crests(bench) - before;
    expect(Math.abs(counted - 60 * frequency)).toBeLessThanOrEqual(1);
  });

  it('comes to rest when the paddle stops, and counts no more', () => {
    const bench = tank();
    bench.type('set paddle 1');
    bench.pass(20_000);
    bench.type('set paddle 0');
    bench.pass(15_000);
    const rest = crests(bench);
    bench.pass(60_000);
    expect(crests(bench)).toBe(rest);
    expect(Math.abs(metres(bench.truth('level')))).toBeLessThan(0.002);
  });

  it('shows the level that theory gives', () => {
    const bench = tank();
    bench.type('set paddle 1');
    bench.pass(20_000);
    bench.printed();
    bench.pass(20_000);
    const levels = bench
      .parsed()
      .flatMap((line) =>
        line.kind === 'tell' && line.id === 'level' ? [Math.abs(metres(Buffer.from(line.value).toString('hex')))] : [],
      );
    expect(Math.max(...levels)).toBeCloseTo(steadyAmplitude(1), 2);
  });

  it('announces what changes, within 40 octets', () => {
    const bench = tank();
    bench.pass(1000);
    const says = (): string => Buffer.from(bench.truth('note'), 'hex').toString();
    expect(says()).toBe('paddle at 0.5 Hz');
    bench.type('set paddle 1.25');
    bench.pass(100);
    expect(says()).toBe('paddle at 1.25 Hz');
    bench.type('set dye rhodamine');
    bench.pass(100);
    expect(says()).toBe('dye: rhodamine');
    bench.type('set light on');
    bench.pass(100);
    expect(says()).toBe('work light on');
  });

  it('takes its calibration into account', () => {
    const bench = tank();
    bench.type('set paddle 0');
    bench.pass(20_000);
    bench.type('set calibration gain=1, offset=0.05, points=2');
    bench.pass(1000);
    expect(metres(bench.truth('level'))).toBeCloseTo(0.05, 2);
  });

  it('stops the paddle when the last client is gone for 2 s', () => {
    const bench = tank();
    const client = bench.connect();
    client.write('paddle', '2c01');
    client.connection.end('lost');
    bench.pass(1999);
    expect(bench.truth('paddle')).toBe('2c01');
    bench.pass(1);
    expect(bench.truth('paddle')).toBe('0000');
  });

  it('drifts slowly: water near 20 °C, battery falling', () => {
    const bench = tank();
    const celsius = (): number => metres(bench.truth('water')) * 100;
    bench.pass(5000);
    const battery = Number.parseInt(bench.truth('battery-level'), 16);
    for (let minute = 0; minute < 5; minute++) {
      const before = celsius();
      bench.pass(60_000);
      expect(Math.abs(celsius() - before)).toBeLessThan(0.6);
      expect(Math.abs(celsius() - 20)).toBeLessThan(2.5);
    }
    bench.type('set light on');
    bench.pass(600_000);
    expect(Number.parseInt(bench.truth('battery-level'), 16)).toBeLessThan(battery);
  });

  it('does the same again from the same seed, and something else from another', () => {
    const run = (seed: number): readonly string[] => {
      const bench = tank(seed);
      bench.pass(5000);
      return bench.printed();
    };
    expect(run(7)).toEqual(run(7));
    expect(run(7)).not.toEqual(run(8));
  });

  it('lets its state be drawn', () => {
    const bench = tank();
    bench.pass(1000);
    const state = bench.board.state.rig as WaveTank;
    expect(state.paddle).toBe(0.5);
    expect(state.amplitude).toBeGreaterThan(0);
  });
});
