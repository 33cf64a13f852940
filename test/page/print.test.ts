import { expect, it } from 'vitest';
import { ready } from './support/panel.ts';
import { describePage } from './support/suite.ts';

/** A4 less the margins, CSS pixels. */
const paper = 680;

describePage('on paper', (visit) => {
  it.each(['contract', 'panel', 'proof'] as const)(
    'the %s has no buttons, no night and nothing wider than the paper',
    async (view) => {
      const page = await visit({ dark: true });
      await ready(page);
      await page.locator(`.shell-views a[href="#${view}"]`).click();
      if (view === 'contract') await page.locator('.sheet-attributes').waitFor();
      if (view === 'proof') await page.getByRole('button', { name: 'Run mtu' }).click();
      if (view === 'proof') await page.locator('.proof-sentence').waitFor();
      await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
      await page.setViewportSize({ width: paper, height: 970 });
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(paper);
      expect(await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)).toBe(
        'rgb(255, 255, 255)',
      );
      expect(await page.locator('.link-line, .shell-views').filter({ visible: true }).count()).toBe(0);
      const pressed = page.locator('button:not(.plain, [role=radio], [role=switch])').filter({ visible: true });
      expect(await pressed.allInnerTexts()).toEqual([]);
      expect((await page.pdf({ format: 'A4' })).length).toBeGreaterThan(10_000);
    },
  );
});
