import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { shoot } from './support/browser.ts';
import { act, plate, ready } from './support/panel.ts';
import { describePage } from './support/suite.ts';

const axe = readFileSync(fileURLToPath(import.meta.resolve('axe-core/axe.min.js')), 'utf8');
const sizes = [
  { width: 1366, height: 800 },
  { width: 1920, height: 1080 },
  { width: 390, height: 844 },
];
const views = ['contract', 'panel', 'ledger', 'proof', 'budget'] as const;

describePage('the look', (visit) => {
  it.each([{ dark: false }, { dark: true }])(
    'hinders nobody, and nothing is wider than the window (dark: $dark)',
    async ({ dark }) => {
      const page = await visit({ dark });
      await page.locator('.link-connected').waitFor();
      for (const view of views) {
        await page.locator(`.shell-views a[href="#${view}"]`).click();
        await settle(page, view);
        for (const size of sizes) {
          await page.setViewportSize(size);
          const name = `${view}-${size.width}-${dark ? 'dark' : 'light'}`;
          await shoot(page, name);
          expect(await tooWide(page), name).toEqual([]);
          if (size.width !== 1920) expect(await seriousFaults(page), name).toEqual([]);
        }
      }
    },
  );

  it.each([{ dark: false }, { dark: true }])(
    'hinders nobody in what comes and goes (dark: $dark)',
    async ({ dark }) => {
      const page = await visit({ dark });
      await ready(page);
      const look = async (name: string): Promise<void> => {
        await shoot(page, `state-${name}-${dark ? 'dark' : 'light'}`);
        expect(await seriousFaults(page), name).toEqual([]);
      };
      const press = (name: string): Promise<void> => page.getByRole('button', { name, exact: true }).first().click();

      await plate(page, 'paddle').getByRole('textbox').fill('5');
      await act(page, 'paddle', 'Write').click();
      await plate(page, 'paddle').locator('.panel-refused').waitFor();
      await look('refused');
      await press('More');
      await page.locator('.shell-more li').first().waitFor();
      await look('menu');
      await page.keyboard.press('Escape');
      await press('Packets');
      await page.locator('.packets-list li').first().waitFor();
      await look('packets');
      await press('Packets');
      await press('Present');
      await page.locator('.panel-presentation').waitFor();
      await look('presentation');
      await page.keyboard.press('Escape');
      await press('Drop link');
      await page.locator('.link-lost').waitFor();
      await look('lost');
      await page.locator('.shell-views a[href="#contract"]').click();
      await page.locator('.cm-line', { hasText: 'unit: hertz' }).click();
      await page.keyboard.press('End');
      await page.keyboard.press('Backspace');
      await page.locator('.contract-finding, .contract-findings li').first().waitFor();
      await look('finding');
      await page.keyboard.type('z');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Control+Space');
      await page.locator('.cm-tooltip-autocomplete li').first().waitFor();
      await look('completion');
      await page.keyboard.press('Escape');
      await press('More');
      await page.locator('.shell-more').getByRole('button', { name: 'dimmer' }).click();
      await page.locator('dialog[open]').waitFor();
      await look('question');
    },
  );
});

/** Waits until the view has something to show. */
async function settle(page: Page, view: (typeof views)[number]): Promise<void> {
  if (view === 'contract') await page.locator('.cm-content').waitFor();
  if (view === 'panel') await page.getByRole('button', { name: 'Subscribe to all' }).click();
  if (view === 'panel') await page.getByRole('button', { name: 'Subscribe to all' }).waitFor({ state: 'detached' });
  if (view === 'ledger') {
    await page.locator('.ledger-step button').first().click();
    await page.locator('.ledger-recording').first().waitFor();
  }
  if (view === 'budget') {
    await page.locator('#budget-room').waitFor();
    for (const more of await page.locator('.budget-view summary').all()) await more.click();
  }
  if (view !== 'proof') return;
  // A fault, so that a failed case is seen too.
  await page.getByRole('checkbox', { name: 'A number outside its range is clamped silently' }).check();
  await page.getByRole('button', { name: 'Run refusals' }).click();
  await page.locator('.proof-sheet').first().waitFor();
  await page.locator('.proof-sentence').waitFor();
}

/** What makes the page wider than its window; empty when nothing does. */
async function tooWide(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    if (scrollWidth <= clientWidth) return [];
    return [...document.querySelectorAll('body *')]
      .filter((element) => element.getBoundingClientRect().right > clientWidth + 1)
      .slice(-12)
      .map((element) => `${element.tagName}.${element.getAttribute('class') ?? ''}`);
  });
}

type AxeResult = {
  readonly violations: readonly {
    readonly id: string;
    readonly impact: string | null;
    readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
  }[];
};

/** What axe-core (WCAG 2 A and AA, best practices) calls serious or critical. */
async function seriousFaults(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe);
  const { violations } = await page.evaluate<AxeResult>('axe.run({ resultTypes: ["violations"] })');
  return violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .flatMap(({ id, nodes }) =>
      nodes.slice(0, 3).map(({ html, failureSummary }) => `${id}: ${html.slice(0, 160)} ${failureSummary}`),
    );
}
