import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

describePage('the keyboard alone', (visit) => {
  it('turns the paddle and writes it', async () => {
    const page = await visit();
    await ready(page);
    await tabTo(page, (name) => name === 'Paddle frequency');
    for (let i = 0; i < 5; i++) await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Enter');
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toMatch(/0\.5[1-9] Hz[^]*by air/);
  });

  it('goes through the views, runs a proof and stops it', async () => {
    const page = await visit();
    await ready(page);
    await page.keyboard.press('Alt+3');
    await page.locator('.ledger-head').waitFor();
    await page.keyboard.press('Alt+4');
    await page.locator('.proof-run').waitFor();
    await tabTo(page, (name) => name === 'Run proof');
    await page.keyboard.press('Enter');
    await page.locator('.proof-now-count').waitFor();
    // The same button, where the focus still is.
    await page.keyboard.press('Enter');
    await page.getByText('what was proved so far is kept').waitFor();
    await page.keyboard.press('Alt+1');
    await page.locator('.contract').waitFor();
    await page.keyboard.press('Alt+2');
    await ready(page);
  });

  it('plants a fault', async () => {
    const page = await visit({ view: 'proof' });
    await page.locator('.link-connected').waitFor();
    await tabTo(page, (name) => name.startsWith('A number outside its range is clamped'));
    await page.keyboard.press('Space');
    await page.getByText('a fault planted').waitFor();
  });

  it('always shows where it is', async () => {
    const page = await visit();
    await ready(page);
    const seen = new Set<string>();
    for (let i = 0; i < 40; i++) {
      await page.keyboard.press('Tab');
      const { name, outline } = await page.evaluate(() => {
        const element = document.activeElement!;
        const { outlineStyle, outlineWidth } = getComputedStyle(element);
        const place = [...document.querySelectorAll('*')].indexOf(element);
        const name = `${place} ${element.outerHTML.slice(0, 120)}`;
        return { name, outline: outlineStyle !== 'none' && outlineWidth !== '0px' };
      });
      expect(outline, name).toBe(true);
      seen.add(name);
    }
    expect(seen.size).toBeGreaterThan(25);
  });
});

/** Presses Tab until what has the focus has such a name. */
async function tabTo(page: Page, wanted: (name: string) => boolean): Promise<void> {
  for (let i = 0; i < 120; i++) {
    await page.keyboard.press('Tab');
    const name = await page.evaluate(() => {
      const element = document.activeElement;
      const labelled = element?.getAttribute('aria-labelledby');
      const label = labelled === null || labelled === undefined ? undefined : document.getElementById(labelled);
      const within = element instanceof HTMLInputElement ? element.labels?.[0] : element;
      return (element?.getAttribute('aria-label') ?? label?.textContent ?? within?.textContent ?? '').trim();
    });
    if (wanted(name)) return;
  }
  throw new Error('it was not reached by Tab');
}
