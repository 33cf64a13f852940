import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { shoot } from './support/browser.ts';
import { act, airOf, plate, ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

/** Opens a bundled example and runs its board. */
async function runExample(page: Page, name: RegExp): Promise<void> {
  await page.getByRole('button', { name: 'More' }).click();
  await page.getByRole('button', { name }).first().click();
  await page.getByRole('button', { name: 'Restart board' }).click();
  await page.getByRole('button', { name: 'Restart board' }).waitFor({ state: 'detached' });
  await ready(page);
}

async function type(page: Page, line: string): Promise<void> {
  await page.getByLabel('Line to type on the console').fill(line);
  await page.keyboard.press('Enter');
}

/** Where the plates stand, by id. */
function places(page: Page): Promise<Record<string, readonly number[]>> {
  return page.locator('.panel-plate').evaluateAll((plates) =>
    Object.fromEntries(
      plates.map((one) => {
        const { x, y, width, height } = one.getBoundingClientRect();
        return [one.getAttribute('data-value') ?? '', [x, y + scrollY, width, height]];
      }),
    ),
  );
}

describePage('the panel', (visit) => {
  it('is used without a pointer', async () => {
    const page = await visit();
    await ready(page);
    const dial = plate(page, 'paddle').getByRole('slider');
    await dial.focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('PageUp');
    await page.keyboard.press('ArrowUp');
    expect(await dial.getAttribute('aria-valuenow')).toBe('0.21');
    await page.keyboard.press('Enter');
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toContain('0.21 Hz');
    // From the dial to its exact entry, where the arrows step too.
    await page.keyboard.press('Tab');
    await page.keyboard.press('ArrowDown');
    expect(await page.locator(':focus').inputValue()).toBe('0.2');
    await page.keyboard.press('Escape');
    expect(await page.locator(':focus').inputValue()).toBe('0.21');

    await plate(page, 'light').getByRole('switch').focus();
    await page.keyboard.press('Space');
    await expect.poll(() => truthOf(page, 'light').innerText()).toContain('on');
    await plate(page, 'dye').getByRole('radio', { checked: true }).focus();
    await page.keyboard.press('ArrowRight');
    // Going to a name does not write it.
    expect(await truthOf(page, 'dye').innerText()).toContain('none');
    await page.keyboard.press('Enter');
    await expect.poll(() => truthOf(page, 'dye').innerText()).toContain('fluorescein');
  });

  it('says when the board has moved on since the last read', async () => {
    const page = await visit();
    await ready(page);
    await act(page, 'paddle', 'Read').click();
    await expect.poll(() => airOf(page, 'paddle').innerText()).toContain('0.50 Hz');
    await type(page, 'set paddle 1.5');
    await plate(page, 'paddle').getByText('the board has moved on since').waitFor();
    expect(await truthOf(page, 'paddle').innerText()).toMatch(/1\.50 Hz[^]*by console/);
    expect(await plate(page, 'paddle').locator('.panel-sides-moved-on').count()).toBe(1);
    await act(page, 'paddle', 'Read').click();
    await plate(page, 'paddle').locator('.panel-sides-same').waitFor();
  });

  it('sends a code without a name, and a text that is too long, to show the refusal', async () => {
    const page = await visit();
    await ready(page);
    await plate(page, 'dye').getByLabel('another code').fill('7');
    await act(page, 'dye', 'Write').click();
    const refused = plate(page, 'dye').locator('.panel-refused');
    await expect.poll(() => refused.innerText()).toContain('allowed none, fluorescein, rhodamine');
    expect(await truthOf(page, 'dye').innerText()).toContain('none');
    await refused.getByRole('button', { name: 'Close' }).click();
    await refused.waitFor({ state: 'detached' });

    const caption = plate(page, 'caption');
    await caption.getByRole('textbox').fill('é'.repeat(31));
    await caption.getByText('62 of 60 octets').waitFor();
    await act(page, 'caption', 'Write').click();
    await expect
      .poll(() => caption.locator('.panel-refused').innerText())
      .toContain('The board refused 62 octets: allowed 0 to 60 octets');
    // What was typed stays, to be corrected.
    expect(await caption.getByRole('textbox').inputValue()).toBe('é'.repeat(31));
  });

  it('explains the drive of what is entered and of what is held', async () => {
    const page = await visit();
    await ready(page);
    // 0.5 Hz * 2^32 / 20 kHz = 107374.18: word 107374 = 0x1A36E.
    await expect.poll(() => plate(page, 'paddle').innerText()).toContain('word 0x0001A36E');
    await plate(page, 'paddle').getByRole('textbox').fill('1');
    await plate(page, 'paddle').getByText('Drive would be').waitFor();
    expect(await plate(page, 'paddle').innerText()).toContain('word 0x000346DC');
    await act(page, 'paddle', 'Undo').click();
    await expect.poll(() => plate(page, 'paddle').innerText()).toContain('word 0x0001A36E');
  });

  it('moves nothing when values change and when a write is refused', async () => {
    const page = await visit();
    await ready(page);
    await page.getByRole('button', { name: 'Subscribe to all' }).click();
    await expect.poll(() => plate(page, 'level').locator('.panel-agreement').innerText()).toContain('ms behind');
    await page.locator('.panel-console-form').waitFor();
    await page.locator('.panel-drive').waitFor();
    await page.locator('.panel-form').waitFor();
    const before = await places(page);
    await plate(page, 'paddle').getByRole('textbox').fill('5');
    await act(page, 'paddle', 'Write').click();
    await plate(page, 'paddle').locator('.panel-refused').waitFor();
    await expect.poll(() => airOf(page, 'crests').innerText(), { timeout: 20_000 }).toContain('notified');
    expect(await places(page)).toEqual(before);
  });

  it('is a console too', async () => {
    const page = await visit();
    await ready(page);
    const log = page.getByRole('log');
    await type(page, 'get paddle');
    await expect.poll(() => log.innerText()).toContain('> get paddle');
    await type(page, 'set paddle 9');
    await expect.poll(() => log.innerText()).toMatch(/▲ .*9 Hz is outside 0 to 4 Hz/);
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
    expect(await page.locator(':focus').inputValue()).toBe('get paddle');
    // The world's own changes are shown when they are wanted.
    expect(await log.innerText()).not.toMatch(/tell \d+ level/);
    await page.getByLabel('all', { exact: true }).check();
    await expect.poll(() => log.innerText()).toMatch(/tell \d+ level/);
  });

  it('stands in one column on a telephone, without a scroll sideways', async () => {
    const page = await visit({ width: 390, height: 844 });
    await ready(page);
    const all = Object.values(await places(page));
    expect(new Set(all.map(([x]) => x)).size).toBe(1);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
    // Everything pressed is large enough for a finger, whatever the pointer: WCAG 2.2, 2.5.8, 24 px.
    const small = await page
      .locator('.panel button:visible')
      .evaluateAll((buttons) =>
        buttons
          .filter((one) => !one.classList.contains('plain') && one.getBoundingClientRect().height < 24)
          .map((one) => one.textContent),
      );
    expect(small).toEqual([]);
  });

  it('stands three or four plates abreast on a desk', async () => {
    const page = await visit({ width: 1366 });
    await ready(page);
    const tops = Object.values(await places(page)).map(([, y]) => Math.round(y!));
    const widest = Math.max(...tops.map((top) => tops.filter((other) => other === top).length));
    expect(widest).toBeGreaterThanOrEqual(3);
    expect(widest).toBeLessThanOrEqual(4);
  });

  it('shows chosen plates on a projector, and lets others be chosen', async () => {
    const page = await visit({ width: 1920, height: 1080 });
    await ready(page);
    await page.keyboard.press('Alt+p');
    await page.locator('.panel-presentation').waitFor();
    const size = await plate(page, 'paddle')
      .locator('.panel-figure')
      .evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize));
    expect(size).toBe(72);
    expect(await plate(page, 'dye').count()).toBe(0);
    const choosing = page.getByRole('group', { name: 'On the screen' });
    await choosing.getByRole('button', { name: 'Dye' }).click();
    await plate(page, 'dye').waitFor();
    await choosing.getByRole('button', { name: 'Wave tank' }).click();
    await plate(page, 'rig').waitFor({ state: 'detached' });
    // It fills the screen, and not more.
    expect(await page.evaluate(() => document.documentElement.scrollHeight)).toBeLessThanOrEqual(1080);
  });

  it('shows the boards of all other examples', async () => {
    const page = await visit();
    await ready(page);
    for (const name of ['dimmer', 'greenhouse', 'seismograph', 'telescope']) {
      await runExample(page, new RegExp(name, 'i'));
      const all = page.getByRole('button', { name: 'Subscribe to all' });
      if ((await all.count()) > 0) await all.click();
      await page.locator('.panel-subscribed').first().waitFor();
      await shoot(page, `panel-${name}`);
    }
  });

  it('is photographed in both lights', async () => {
    for (const [width, height, dark] of [
      [390, 844, false],
      [1366, 800, true],
      [1920, 1080, false],
    ] as const) {
      const page = await visit({ width, height, dark });
      await ready(page);
      await act(page, 'level', 'Subscribe').click();
      await act(page, 'level', 'Unsubscribe').waitFor();
      if (width === 1920) {
        await page.keyboard.press('Alt+p');
        await page.locator('.panel-presentation canvas').nth(1).waitFor();
      }
      await shoot(page, `panel-${width}-${dark ? 'dark' : 'light'}`);
    }
  });
});
