import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { act, airOf, plate, ready, runContract } from './support/panel.ts';
import { describePage } from './support/suite.ts';

const image = `<img src=x onerror="globalThis.harmed=1">`;
const script = `</script><script>globalThis.harmed=1</script>`;
/** U+202E turns what follows it around; U+2066 opens an isolate that nothing closes. */
const turned = 'abc\\u202Edef\\u2066ghi';

/** @param long characters of the longest label; the contract allows 100 octets */
const hostile = (long: number): string => `contract: 1
board: { name: "B<b>x</b>" }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: bench
    label: ${JSON.stringify(image)}
    characteristics:
      - { id: one, label: ${JSON.stringify(script)}, type: uint8, range: [0, 9], access: [read, write] }
      - { id: two, label: "${turned}", type: { enum: uint8, names: { 0: "${'w'.repeat(60)}", 1: ${JSON.stringify(image)} } }, access: [read, write] }
      - { id: three, label: "${'long '.repeat(long / 10)}${'x'.repeat(long / 2)}", type: utf8, length: [0, 200], access: [read, write] }
      - id: four
        label: "&lt;b&gt; 'quoted' \\"twice\\""
        type: { struct: [{ id: a, label: ${JSON.stringify(image)}, type: uint8 }] }
        access: [read, write]
`;

describePage('hostile words', (visit) => {
  it.each([390, 1366])('in labels stay words, and break nothing at %i px', async (width) => {
    const page = await visit({ width });
    await ready(page);
    await runContract(page, 'hostile.yaml', hostile(100));
    await act(page, 'one', 'Read').click();
    await expect.poll(() => airOf(page, 'one').innerText()).toContain('read');
    await plate(page, 'three').getByRole('textbox').fill(image);
    await act(page, 'three', 'Write').click();
    await expect.poll(() => airOf(page, 'three').innerText()).toContain('<img');
    await unharmed(page);

    await page.locator('.shell-views a[href="#contract"]').click();
    await page.locator('.cm-content').waitFor();
    await unharmed(page);

    await page.locator('.shell-views a[href="#proof"]').click();
    await page.getByRole('checkbox', { name: 'Writes are answered and change nothing' }).check();
    await page.getByRole('button', { name: 'Run proof', exact: true }).click();
    await page.locator('.proof-sheet').first().waitFor();
    await page.locator('.proof-sentence').waitFor({ timeout: 60_000 });
    await unharmed(page);
  });

  it('in a file’s name stay words', async () => {
    const page = await visit();
    await ready(page);
    await runContract(page, '<img src=x onerror=harmed=1>.yaml', hostile(100));
    await page.locator('.shell-views a[href="#proof"]').click();
    await page.getByRole('button', { name: 'Run writes' }).click();
    await page.locator('.proof-sentence').waitFor();
    await unharmed(page);
  });

  it.each([390, 1366])('in a contract with errors stay words, 10,000 characters too, at %i px', async (width) => {
    const page = await visit({ width, view: 'contract' });
    await page.locator('.cm-content').waitFor();
    for (const text of [
      hostile(10_000),
      `contract: 1\nboard: { ${JSON.stringify(image)}: ${JSON.stringify(script)} }\n`,
    ]) {
      await page.locator('.cm-content').click();
      await page.keyboard.press('Control+a');
      await page.keyboard.insertText(text);
      await page.locator('.contract-finding.contract-error').first().waitFor();
      await unharmed(page);
      await page.locator('.shell-views a[href="#proof"]').click();
      await page.getByRole('button', { name: 'Run proof', exact: true }).click();
      await page.getByRole('alert').getByText('there is nothing yet that a board').waitFor();
      await unharmed(page);
      await page.locator('.shell-views a[href="#contract"]').click();
    }
  });
});

/** Nothing of the user's has become an element or has run, and nothing is wider than the window. */
async function unharmed(page: Page): Promise<void> {
  const { harmed, images, scripts, wide } = await page.evaluate(() => ({
    harmed: (globalThis as { harmed?: number }).harmed,
    images: document.querySelectorAll('body img, body b').length,
    scripts: document.querySelectorAll('body script:not([src])').length,
    wide: document.documentElement.scrollWidth - document.documentElement.clientWidth,
  }));
  expect({ harmed, images, scripts, wide }).toEqual({ harmed: undefined, images: 0, scripts: 0, wide: 0 });
}
