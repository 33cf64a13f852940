import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { contentOf } from './support/browser.ts';
import { act, dropFile, ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

describePage('the proof', (visit) => {
  it('runs every family, and its reports can be taken away', async () => {
    const page = await visit({ view: 'proof' });
    await page.locator('.link-connected').waitFor();
    await page.getByRole('button', { name: 'Run proof' }).click();
    await page.getByText('The board does what its contract says').waitFor({ timeout: 60_000 });
    expect(await figure(page, 'Failed')).toBe(0);
    const passed = await figure(page, 'Passed');
    expect(passed).toBeGreaterThan(400);
    await page.getByRole('progressbar', { name: 'Cases run' }).waitFor();

    const json = JSON.parse(await download(page, 'JSON', 'wave-tank-proof.json')) as {
      passed: number;
      proved: boolean;
    };
    expect(json).toMatchObject({ proved: true, passed });
    expect(await download(page, 'JUnit XML', 'wave-tank-proof.xml')).toContain('<testsuites');
    expect(await download(page, 'HTML report', 'wave-tank-proof.html')).toMatch(/^<!doctype html>/);
  });

  it('is stopped and keeps what it has', async () => {
    const page = await visit({ view: 'proof' });
    await page.locator('.link-connected').waitFor();
    const run = page.locator('.proof-run');
    await run.click();
    await page.locator('.proof-now-count').waitFor();
    await run.click();
    await page.getByText('what was proved so far is kept').waitFor();
    const run1 = await figure(page, 'Passed');
    expect(run1).toBeGreaterThan(0);
    expect(await download(page, 'JSON', 'wave-tank-proof.json')).toContain('"stopped": true');
  });

  it('runs one family, and lists its cases by words with what crossed', async () => {
    const page = await visit({ view: 'proof' });
    await page.getByRole('button', { name: 'Run writes' }).click();
    await page.getByText('the other families were not run').waitFor();
    await page.getByRole('button', { name: 'Show cases of writes' }).click();
    await page.locator('.proof-browser').getByLabel('Words').fill('paddle max');
    await expect.poll(() => page.locator('.proof-cases tbody').count()).toBeLessThan(5);
    await page.getByRole('button', { name: 'writes/paddle/max', exact: true }).click();
    const body = page.locator('.proof-body');
    await body.getByText('Expected').waitFor();
    // 4 Hz in steps of 0.01 Hz is 400, least significant octet first.
    await body.getByText('90 01').first().waitFor();
    expect(await body.getByText('● central to board').count()).toBeGreaterThan(0);
    expect(await body.getByText('■ console').count()).toBeGreaterThan(0);
  });

  it('catches a planted fault, tells both sides, and leads to the line', async () => {
    const page = await visit({ view: 'proof' });
    await page.locator('.link-connected').waitFor();
    await page.getByRole('checkbox', { name: 'A number outside its range is clamped silently' }).check();
    await page.getByText('a fault planted').waitFor();
    await page.getByRole('button', { name: 'Run refusals' }).click();
    await page.getByText('The board does not do what its contract says').waitFor();
    const sheet = page.locator('.proof-sheet', { hasText: 'Paddle' }).first();
    await sheet.getByText('▲ differs').waitFor();
    await sheet.getByText('id: paddle').waitFor();
    await sheet.getByRole('button', { name: 'Show in the contract' }).click();
    await page.locator('.contract').waitFor();
    expect(new URL(page.url()).hash).toBe('#contract');
    const line = await lineOfCursor(page);
    expect(line).toContain('paddle');
    // The symptom on the panel: what is beyond the range is taken, and is another value.
    await page.getByRole('link', { name: 'Panel' }).click();
    await ready(page);
    const field = page.locator('[data-value="paddle"]').getByRole('textbox');
    await field.fill('5');
    await act(page, 'paddle', 'Write').click();
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toContain('4.00 Hz');
    await page.getByRole('link', { name: 'Proof' }).click();
    await page.getByRole('button', { name: 'Take all out' }).click();
    await page.locator('.link-board-words', { hasText: /^virtual board$/ }).waitFor();
  });

  it('refuses a contract with errors and says where they are', async () => {
    const page = await visit({ view: 'proof' });
    await page.locator('.link-connected').waitFor();
    await dropFile(page, 'broken.yaml', 'contract: 1\nboard: { name: 7 }\n');
    await page.locator('.shell-file-name', { hasText: 'broken' }).waitFor();
    await page.getByRole('button', { name: 'Run proof' }).click();
    await page.getByRole('alert').getByText('there is nothing yet that a board could be proved against').waitFor();
    await page.getByRole('alert').getByRole('button', { name: 'Show in the contract' }).first().click();
    await page.locator('.contract').waitFor();
  });
});

async function figure(page: Page, label: string): Promise<number> {
  return Number(await page.locator('.proof-figure', { hasText: label }).locator('dd').innerText());
}

async function download(page: Page, button: string, name: string): Promise<string> {
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: button }).click()]);
  expect(file.suggestedFilename()).toBe(name);
  return contentOf(file);
}

/** The line of the contract that the editor marks as its own. */
async function lineOfCursor(page: Page): Promise<string> {
  return page.locator('.cm-activeLine').first().innerText();
}
