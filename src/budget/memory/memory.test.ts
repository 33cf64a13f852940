import { describe, expect, it } from 'vitest';
import { exampleNames, exampleTable } from '../../../test/support/budget-bench.ts';
import { measuredTargets } from './measured.ts';
import { memoryOf } from './memory.ts';
import type { MeasuredTarget } from './model.ts';

const target: MeasuredTarget = {
  name: 'invented',
  toolchain: 'none',
  date: '2026-01-01',
  engine: { flash: 10_000, ram: 1000 },
  console: { flash: 2000, ram: 100 },
  perRow: { flash: 12, ram: 0 },
  perValue: { flash: 40, ram: 4 },
  perDrive: { flash: 100, ram: 0 },
  perConnection: 300,
  error: 0.1,
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
    const ram = 1000 + 100 + 4 * content.values + content.valueOctets + 300 + 2 * content.cccds;
    expect(targets[0]!.ram).toEqual({ low: Math.floor(ram * 0.9), likely: ram, high: Math.ceil(ram * 1.1) });
    const flash =
      12_000 +
      12 * content.rows +
      content.constantOctets +
      40 * content.values +
      content.valueOctets +
      100 * content.drives;
    expect(targets[0]!.flash.likely).toBe(flash);
  });

  it('says so as long as nothing has been measured, and when it was', () => {
    const memory = memoryOf(exampleTable('dimmer'), []);
    expect(memory.unknown).toContain('measured');
    expect(memory.targets).toEqual([]);
    for (const { date, toolchain, error } of measuredTargets) {
      expect(date).toMatch(/^\d{4}-\d\d-\d\d$/);
      expect(toolchain).not.toBe('');
      expect(error).toBeGreaterThan(0);
      expect(error).toBeLessThan(0.5);
    }
  });

  it('needs more for a contract with more in it', () => {
    for (const name of exampleNames) {
      const { targets } = memoryOf(exampleTable(name), [target]);
      expect(targets[0]!.flash.likely).toBeGreaterThan(target.engine.flash);
    }
  });
});
