import { performance } from 'node:perf_hooks';
import { us } from '../src/base/quantity.ts';
import { budgetOf, budgetParts, defaultQuestion, settingOf, type BudgetPart } from '../src/budget/budget.ts';
import { roomTime } from '../src/budget/room/room.ts';
import type { Table } from '../src/table/model.ts';
import { digits, showTiming, time } from './measure.ts';

const hour = us(3_600_000_000);
const sizes = [1, 50, 500] as const;

/**
 * Rooms of boards that advertise every 100 ms and of as many that are connected at 30 ms, packet by packet and event by
 * event: simulated seconds a second, and how that grows with the boards. The largest runs its whole hour; the aim is 60 s.
 */
export function benchRoom(): void {
  const advertiser = { interval: us(100_000), delay: us(10_000), packet: us(376), step: us(568) };
  const link = { interval: us(30_000), busy: 676 };
  let before: { readonly boards: number; readonly each: number } | undefined;
  for (const boards of sizes) {
    const simulated = boards === 500 ? hour : us(hour / 10);
    const start = performance.now();
    const { packets, events } = roomTime(
      advertiser,
      link,
      { advertising: boards, connected: boards, seed: 1 },
      simulated,
    );
    const elapsed = (performance.now() - start) / 1000;
    const each = elapsed / (simulated / 1e6);
    const growth =
      before === undefined
        ? ''
        : `; ${digits(each / before.each)} × the time of ${before.boards} for ${digits(boards / before.boards)} × the boards`;
    const aim = boards === 500 ? `; one hour in ${digits(elapsed)} s, aim under 60 s` : '';
    console.log(
      `  ${`${boards} boards advertising and connected`.padEnd(46)} ${digits(simulated / 1e6 / elapsed)} simulated s/s, ${digits((packets + events) / elapsed / 1e6)} million packets and events a second${growth}${aim}`,
    );
    before = { boards, each };
  }
}

/** The whole budget of the demo, and its slowest parts: what a page waits for behind a finger. */
export function benchBudget(table: Table): void {
  const question = defaultQuestion(table);
  const setting = settingOf(table, question);
  const whole = time(5, () => {
    budgetOf(table, question);
  });
  console.log(`  ${'whole budget of the wave tank'.padEnd(46)} ${showTiming(whole)}`);
  const parts = (Object.keys(budgetParts) as BudgetPart[]).map((part) => ({
    part,
    timing: time(5, () => {
      budgetParts[part](setting);
    }),
  }));
  for (const { part, timing } of parts.sort((a, b) => b.timing.median - a.timing.median).slice(0, 4)) {
    console.log(`  ${`  of it ${part}`.padEnd(46)} ${showTiming(timing)}`);
  }
}
