import type { Page } from 'playwright-core';
import { showTiming, summary } from '../measure.ts';

/** Milliseconds of one frame at 60 Hz. */
const frame = 1000 / 60;
/** Typed into a label of the demo, at a quick typist's pace. */
const words = ' of a long and narrow tank with a paddle';
const pace = 90;

type Seen = { readonly checks: number[]; readonly keys: number[] };

/** Run in the page: notes how long each re-check took (the page's own User Timing) and each key until it was painted. */
function noteTimes(): void {
  const seen: Seen = { checks: [], keys: [] };
  Object.assign(globalThis, { seen });
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntriesByName('re-check')) seen.checks.push(duration);
  }).observe({ type: 'measure' });
  new PerformanceObserver((list) => {
    for (const { name, duration } of list.getEntries()) if (name === 'keydown') seen.keys.push(duration);
  }).observe({ type: 'event', durationThreshold: 16 } as PerformanceObserverInit);
}

/** Types into the demo's contract and tells how long after a key its findings and its drawing are there. */
export async function benchTyping(page: Page, url: string): Promise<void> {
  await page.goto(`${url}#contract`);
  await page.locator('.cm-content').waitFor();
  const line = page.locator('.cm-line', { hasText: 'label: Wave tank' });
  await line.click();
  await page.keyboard.press('End');
  // The checker is fetched with the first look, and compiled with the first keys.
  await page.keyboard.type(words, { delay: pace });
  await page.evaluate(noteTimes);
  await page.keyboard.type(words, { delay: pace });
  await page.waitForTimeout(500);
  const { checks, keys } = await page.evaluate(() => (globalThis as unknown as { seen: Seen }).seen);
  const slow = checks.filter((time) => time > frame).length;
  console.log(
    `  a key until the demo is checked again       ${showTiming(summary(checks))}; ${slow} took more than a frame (16.7 ms)`,
  );
  console.log(`  a key until it is painted                   ${showTiming(summary(keys))}`);
}
