import type { Browser, Page } from 'playwright-core';
import { showTiming, summary } from '../measure.ts';

const visits = 9;

/** Run in the page before its own scripts: notes when the panel stands, the board is connected and told its values. */
function noteReady(): void {
  const look = (): void => {
    const isReady =
      document.querySelector('.link-connected') !== null &&
      document.querySelector('.panel-plate .panel-side-value.board-ink, .panel-plate .board-ink') !== null;
    if (isReady) performance.mark('ready');
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/** From asking for the page until its instruments can be used: first visits, and visits again. */
export async function benchReady(browser: Browser, url: string): Promise<void> {
  const first: number[] = [];
  const again: number[] = [];
  for (let i = 0; i < visits; i++) {
    const context = await browser.newContext({ viewport: { width: 1366, height: 800 } });
    const page = await context.newPage();
    await page.addInitScript(noteReady);
    await page.goto(url);
    first.push(await readyAt(page));
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await page.reload();
    again.push(await readyAt(page));
    await context.close();
  }
  console.log(`  first visit, until the panel can be used    ${showTiming(summary(first))}; wanted 1000 ms`);
  console.log(`  the same visitor again, from the cache      ${showTiming(summary(again))}`);
}

async function readyAt(page: Page): Promise<number> {
  const at = await page.waitForFunction(() => performance.getEntriesByName('ready')[0]?.startTime);
  return at.jsonValue() as Promise<number>;
}
