import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../../base/quantity.ts';
import type { Advertiser } from '../found/scan.ts';
import { energy, hoursAtLoad, type Activity } from './energy.ts';
import { exactly } from './span.ts';
import { inventedSupply, readSupply, supplyKeys, supplyPresets, type Supply } from './supply.ts';

const zero = Object.fromEntries(supplyKeys.map((key) => [key, exactly(0)])) as unknown as Supply;
const cell = {
  ...zero,
  capacityMah: exactly(225),
  usable: exactly(1),
  ratedUa: exactly(200),
  peukert: exactly(1),
};
const board: Advertiser = { interval: us(95_000), delay: us(10_000), packet: us(376), step: us(568) };
const advertising: Activity = { kind: 'advertising', advertiser: board };
const connected: Activity = {
  kind: 'connected',
  connection: {
    phy: '1M',
    interval: us(50_000),
    latency: 0,
    timeout: us(4_000_000),
    mtu: 23,
    dataLength: 27,
    encrypted: false,
    packetErrorRate: 0,
    mostPairs: undefined,
  },
  streams: [],
};

describe('charge', () => {
  // CR2032, 225 mAh typical (public data sheets); life = capacity / current: 225 mAh / 20 µA = 11250 h = 468.75 days.
  it('lets 225 mAh last 11250 hours at 20 µA', () => {
    const { lifeHours, meanUa } = energy(advertising, { ...cell, sleepUa: exactly(20) });
    expect(meanUa.likely).toBe(20);
    expect(lifeHours.likely).toBe(11_250);
    expect(lifeHours.likely / 24).toBe(468.75);
  });

  it('adds self-discharge: at 1 % a year without load a cell is flat after 100 years', () => {
    const { lifeHours } = energy(advertising, { ...cell, selfDischargePerYear: exactly(0.01) });
    expect(lifeHours.likely / 8766).toBeCloseTo(100, 9);
  });

  it('counts three packets an advertising event', () => {
    // 10 events a second, 3 × 376 µs at 10 mA: 11.28 ms a second, 112.8 µA. Worked out by hand.
    expect(energy(advertising, { ...cell, transmitMa: exactly(10) }).meanUa.likely).toBeCloseTo(112.8, 9);
    // Three times 150 + 2 + 40 µs of listening.
    expect(energy(advertising, { ...cell, receiveMa: exactly(10) }).meanUa.likely).toBeCloseTo(57.6, 9);
  });

  it('counts poll, space, answer and widening of an idle event', () => {
    // 20 events a second of 80 µs each way at 10 mA: 1.6 ms a second, 16 µA.
    expect(energy(connected, { ...cell, transmitMa: exactly(10) }).meanUa.likely).toBeCloseTo(16, 9);
    // 80 + 150 + 16 µs of jitter, and 100 ppm of 50 ms: 5 µs.
    const received = energy(connected, { ...cell, receiveMa: exactly(10), clockPpm: exactly(100) }).meanUa.likely;
    expect(received).toBeCloseTo((20 * (80 + 150 + 16 + 5) * 10) / 1000, 9);
  });

  it('sleeps through events with latency', () => {
    const sleepy: Activity = { ...connected, connection: { ...connected.connection, latency: 4 } };
    const supply = { ...cell, transmitMa: exactly(10) };
    expect(energy(sleepy, supply).meanUa.likely).toBeCloseTo(energy(connected, supply).meanUa.likely / 5, 9);
  });

  // Peukert, t = C / I^k with the capacity rated at 1 A: 100 Ah, k = 1.2, 5 A: 14.5 h (electrical teaching notes).
  it('shortens life above the rated load by Peukert’s exponent, and only there', () => {
    expect(hoursAtLoad(100, 5, 1, 1.2)).toBeCloseTo(14.496, 3);
    expect(hoursAtLoad(100, 5, 5, 1.2)).toBe(20);
    expect(hoursAtLoad(100, 0.5, 1, 1.2)).toBe(200);
    const loaded = { ...cell, sleepUa: exactly(400), ratedUa: exactly(200), peukert: exactly(1.2) };
    expect(energy(advertising, loaded).lifeHours.likely).toBeCloseTo((225 / 0.4) * 0.5 ** 0.2, 9);
    expect(energy(advertising, loaded).caveats.join()).toContain('rated at 0.2 mA');
  });

  it('has presets that say that they are invented or typical', () => {
    for (const { about, supply } of supplyPresets) {
      expect(about).toMatch(/invented|typical/);
      expect(
        readSupply(
          Object.fromEntries(supplyKeys.map((key) => [key, [supply[key].low, supply[key].likely, supply[key].high]])),
        ).ok,
      ).toBe(true);
    }
  });

  it('warns where a coin cell is asked too much', () => {
    expect(energy(advertising, inventedSupply).caveats.join()).toContain('capacitor');
    expect(energy(advertising, { ...cell, sleepUa: exactly(20) }).caveats).toHaveLength(2);
  });

  it('carries ranges through in order, and puts the widest bar first', () => {
    for (const activity of [advertising, connected]) {
      const { meanUa, lifeHours, sensitivity } = energy(activity, inventedSupply);
      expect(meanUa.low).toBeLessThan(meanUa.likely);
      expect(meanUa.likely).toBeLessThan(meanUa.high);
      expect(lifeHours.low).toBeLessThan(lifeHours.likely);
      expect(lifeHours.likely).toBeLessThan(lifeHours.high);
      const widths = sensitivity.map(({ atLow, atHigh }) => Math.abs(atLow - atHigh));
      expect(widths).toEqual([...widths].sort((a, b) => b - a));
      for (const { atLow, atHigh } of sensitivity) {
        expect(Math.min(atLow, atHigh)).toBeGreaterThanOrEqual(lifeHours.low);
        expect(Math.max(atLow, atHigh)).toBeLessThanOrEqual(lifeHours.high);
      }
    }
  });

  it('lasts no longer with any figure raised but capacity and its usable share', () => {
    fc.assert(
      fc.property(fc.constantFrom(...supplyKeys), fc.double({ min: 1, max: 10, noNaN: true }), (key, factor) => {
        const raised = { ...inventedSupply, [key]: exactly(inventedSupply[key].likely * factor) };
        const before = energy(connected, { ...inventedSupply, [key]: exactly(inventedSupply[key].likely) });
        const after = energy(connected, raised).lifeHours.likely;
        expect(after).toBeGreaterThan(0);
        if (key === 'capacityMah' || key === 'usable' || key === 'ratedUa')
          expect(after).toBeGreaterThanOrEqual(before.lifeHours.likely - 1e-6);
        else expect(after).toBeLessThanOrEqual(before.lifeHours.likely + 1e-6);
      }),
      { numRuns: 100 },
    );
  });
});

describe('figures that the user gives', () => {
  it('takes a number, two ends or three', () => {
    const read = readSupply({ sleepUa: 3, cpuMa: [2, 4], transmitMa: [5, 6, 9] });
    expect(read.ok && read.supply).toMatchObject({
      sleepUa: { low: 3, likely: 3, high: 3 },
      cpuMa: { low: 2, likely: 3, high: 4 },
      transmitMa: { low: 5, likely: 6, high: 9 },
      receiveMa: inventedSupply.receiveMa,
    });
  });

  it.each<[unknown, string]>([
    [[1], 'an object of figures'],
    [{ sleep: 3 }, 'has no `sleep`'],
    [{ sleepUa: -3 }, 'no figure'],
    [{ sleepUa: 'low' }, 'no figure'],
    [{ sleepUa: [3, 2] }, 'no figure'],
    [{ sleepUa: [1] }, 'no figure'],
    [{ usable: 80 }, 'above 1'],
    [{ capacityMah: 0 }, 'is 0'],
    [{ peukert: 0.9 }, 'outside 1 to 2'],
  ])('refuses %j', (given, message) => {
    const read = readSupply(given);
    expect(read.ok ? '' : read.message).toContain(message);
  });
});
