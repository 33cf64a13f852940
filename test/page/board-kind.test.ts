import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { shoot } from './support/browser.ts';
import { act, airOf, plate, ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

describePage('what the board is', (visit) => {
  it.each([
    ['Virtual board, by radio', 'virtual board, by radio'],
    ['Firmware, by radio', 'firmware, by radio'],
  ])('can be %s: alive, written to, lost and found', async (name, words) => {
    const page = await visit();
    await ready(page);
    await choose(page, name);
    await page.locator('.link-board-words', { hasText: words }).waitFor();
    await ready(page);
    await act(page, 'level', 'Subscribe').click();
    await expect.poll(() => airOf(page, 'level').innerText()).toContain('notified');
    await plate(page, 'paddle').getByRole('textbox').fill('1.5');
    await act(page, 'paddle', 'Write').click();
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toContain('1.50 Hz');
    await expect.poll(() => plate(page, 'rig').innerText()).toContain('paddle at 1.50 Hz');
    // Pairing is not played over the radio, so it is not offered.
    expect(await page.getByRole('button', { name: 'Encrypt' }).count()).toBe(0);
    await shoot(page, `board-${name.replaceAll(/\W+/g, '-').toLowerCase()}`);
    await page.getByRole('button', { name: 'Drop link' }).click();
    await expect.poll(() => truthOf(page, 'paddle').innerText(), { timeout: 20_000 }).toContain('0.00 Hz');
    await page.getByRole('button', { name: /^(Connect|Reconnect)$/ }).click();
    await ready(page);
    await choose(page, 'Virtual board');
    await page.getByRole('button', { name: 'Encrypt' }).first().waitFor();
  });
});

async function choose(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name: 'More' }).click();
  await page.locator('.shell-more strong').getByText(name, { exact: true }).click();
}
