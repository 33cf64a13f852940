import { describe, expect, it } from 'vitest';
import { exampleNames, exampleTable } from '../../../test/support/budget-bench.ts';
import { measuredTargets } from './measured.ts';
import { memoryOf } from './memory.ts';
import type { MeasuredTarget, Octets } from './model.ts';

const none: Octets = { flash: 0, ram: 0 };
const target: MeasuredTarget = {
  name: 'invented',
  toolchain: 'none',
  date: '2026-01-01',
  engine: { flash: 10_000, ram: 1000 },
  console: { flash: 2000, ram: 100 },
  per: {
    rows: { flash: 12, ram: 0 },
    constantOctets: { flash: 1, ram: 0 },
    values: { flash: 40, ram: 4 },
    valueOctets: { flash: 1, ram: 2 },
    cccds: { flash: 0, ram: 10 },
    drives: { flash: 100, ram: 0 },
    mtuOctets: { flash: 0, ram: 6 },
  },
  images: 3,
  error: { flash: 0.1, ram: 0.2 },
};

describe('memory', () => {
  it('counts what the exact table holds', () => {
    const table = exampleTable('wave-tank');
    const { content } = memoryOf(table);
    expect(content.rows).toBe(table.rows.length);
    expect(content.values).toBe(table.values.length);
    expect(content.drives).toBe(1);
    // One a value that can be subscribed to, and that of Service Changed.
    expect(content.cccds).toBe(table.values.filter(({ notify }) => notify !== undefined).length + 1);
  });

  it('adds the parts up, with the model’s error to both sides', () => {
    const { targets, content } = memoryOf(exampleTable('wave-tank'), [target]);
    const { rows, constantOctets, values, valueOctets, cccds, drives } = content;
    // The demo counts on an MTU of 185.
    const ram = 1100 + 4 * values + 2 * valueOctets + 10 * cccds + 6 * 185;
    expect(targets[0]!.ram).toEqual({ low: Math.floor(ram * 0.8), likely: ram, high: Math.ceil(ram * 1.2) });
    const flash = 12_000 + 12 * rows + constantOctets + 40 * values + valueOctets + 100 * drives;
    expect(targets[0]!.flash.likely).toBe(flash);
    expect(targets[0]!.parts.map(({ part }) => part)).toContain('console');
    const bare = memoryOf(exampleTable('wave-tank'), [{ ...target, console: none }]).targets[0]!;
    expect(bare.parts.map(({ part }) => part)).not.toContain('console');
  });

  // Whole images as arm-none-eabi-size 12.2.1 told of them on 2026-11-25: .text + .data, .data + .bss.
  it.each([
    ['wave-tank', 40_688, 5988, 23_148, 3324],
    ['greenhouse', 40_272, 5092, 22_728, 2436],
    ['dimmer', 39_956, 5076, 22_508, 2460],
    ['seismograph', 39_856, 7124, 22_312, 4124],
    ['telescope', 40_184, 4932, 22_648, 2300],
  ] as const)('holds the sizes of the images of %s in its ranges', (name, flash, ram, bareFlash, bareRam) => {
    const { targets } = memoryOf(exampleTable(name));
    const [full, bare] = targets;
    for (const [range, size] of [
      [full!.flash, flash],
      [full!.ram, ram],
      [bare!.flash, bareFlash],
      [bare!.ram, bareRam],
    ] as const) {
      expect(range.low).toBeLessThanOrEqual(size);
      expect(range.high).toBeGreaterThanOrEqual(size);
    }
  });

  it('says so as long as nothing has been measured, and when it was', () => {
    const memory = memoryOf(exampleTable('dimmer'), []);
    expect(memory.unknown).toContain('measured');
    expect(memory.targets).toEqual([]);
    for (const { date, toolchain, error } of measuredTargets) {
      expect(date).toMatch(/^\d{4}-\d\d-\d\d$/);
      expect(toolchain).not.toBe('');
      for (const share of [error.flash, error.ram]) {
        expect(share).toBeGreaterThan(0);
        expect(share).toBeLessThan(0.2);
      }
    }
  });

  it('needs more for a contract with more in it', () => {
    for (const name of exampleNames) {
      const { targets } = memoryOf(exampleTable(name), [target]);
      expect(targets[0]!.flash.likely).toBeGreaterThan(target.engine.flash);
    }
  });
});
