import { expect, it } from 'vitest';
import type { Locator, Page } from 'playwright-core';
import { percentText, timeText } from '../../src/budget/budget-text.ts';
import { budgetOf, defaultQuestion } from '../../src/budget/budget.ts';
import { withWhatIf } from '../../src/budget/what-if.ts';
import { us } from '../../src/base/quantity.ts';
import { compiledOf, exampleText } from '../support/budget-bench.ts';
import { dropFile } from './support/panel.ts';
import { describePage } from './support/suite.ts';

const tank = compiledOf(exampleText('wave-tank'));
const question = defaultQuestion(tank.table, tank.contract.board.nameTemplate);
const sheets = ['link', 'delay', 'found', 'room', 'battery'] as const;

const sheet = (page: Page, id: (typeof sheets)[number]): Locator => page.locator(`#budget-${id}`);
const lead = (page: Page, id: (typeof sheets)[number]): Promise<string> =>
  sheet(page, id).locator('.budget-lead').innerText();
const exact = (page: Page, id: (typeof sheets)[number], label: string): Locator =>
  sheet(page, id).getByRole('textbox', { name: `${label}, exact` });
/** What a busy machine may take; the page itself answers within a second. */
const soon = { timeout: 15_000 };
const put = (page: Page): Locator => page.getByRole('button', { name: 'Put into contract' });

async function type(page: Page, id: (typeof sheets)[number], label: string, value: string): Promise<void> {
  await exact(page, id, label).fill(value);
  await exact(page, id, label).press('Enter');
}

/** The contract’s text, as the editor has it. */
async function textOf(page: Page): Promise<string> {
  await page.locator('.shell-views a[href="#contract"]').click();
  await page.locator('.cm-content').waitFor();
  return shownText(page);
}

async function shownText(page: Page): Promise<string> {
  return (await page.locator('.cm-line').allInnerTexts()).join('\n');
}

describePage('the budget', (visit) => {
  it('says what the budget of the same contract says', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'room').waitFor();
    const budget = budgetOf(tank.table, question);
    expect(await lead(page, 'link')).toContain(percentText(budget.link.demand));
    const level = budget.delay.values.find(({ id, from }) => id === 'level' && from === 'change')!;
    expect(await lead(page, 'delay')).toContain(timeText(level.link.p95));
    const gateway = budget.found.patterns.find(({ pattern }) => pattern.name === 'gateway')!;
    expect(await lead(page, 'found')).toContain(timeText(gateway.mean.closed));
    expect(await lead(page, 'room')).toContain(`up to ${budget.room.most.advertising} work`);
    await page.getByText('Numbers: what coding does to values').waitFor();
    await page.getByText('Memory: flash and RAM').waitFor();
  });

  it('has a drawing, a table, a formula with its source, and an end for each plot', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'room').waitFor();
    for (const id of sheets) {
      const place = sheet(page, id);
      expect(await place.locator('svg[role="img"][aria-label]').count()).toBeGreaterThan(0);
      expect(await place.getByRole('slider').count()).toBeGreaterThan(2);
      await place.locator('summary', { hasText: /^Table$/ }).click();
      expect(await place.locator('.budget-table tr').count()).toBeGreaterThan(2);
      await place.locator('summary', { hasText: 'Formula' }).click();
      expect(await place.locator('.budget-basis dt').allInnerTexts()).toEqual([
        'Formula',
        'Source',
        'Assumes',
        'Ends where',
      ]);
    }
  });

  it('follows what is dragged at once, and leaves the contract alone until it is put there', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'room').waitFor();
    const slider = sheet(page, 'delay').getByRole('slider', { name: 'Connection interval' });
    const before = await lead(page, 'delay');
    await slider.focus();
    for (let i = 0; i < 20; i++) await page.keyboard.press('ArrowRight');
    await expect.poll(() => lead(page, 'delay'), soon).not.toBe(before);
    await page.getByText('Tried, not in the contract').waitFor();
    // The very same interval stands in the other sheets.
    await type(page, 'link', 'Connection interval', '60');
    await expect.poll(() => exact(page, 'delay', 'Connection interval').inputValue(), soon).toBe('60');
    const tried = budgetOf(withWhatIf(tank.table, { interval: us(60_000) }), question);
    const level = tried.delay.values.find(({ id, from }) => id === 'level' && from === 'change')!;
    await expect.poll(() => lead(page, 'delay'), soon).toContain(timeText(level.link.p95));
    expect(await textOf(page)).toContain('interval: 30 ms');
    await page.locator('.shell-views a[href="#budget"]').click();
    await put(page).click();
    await page.getByText('This is the budget of the contract as it stands').waitFor();
    expect(await textOf(page)).toContain(
      'connection: { interval: 60 ms, latency: 0, timeout: 4 s, mtu: 185, phy: 1M }',
    );
    // The editor’s own undo takes it back.
    await page.locator('.cm-content').focus();
    await page.keyboard.press('Control+Z');
    await page.keyboard.press('Control+Home');
    await expect.poll(() => shownText(page), soon).toContain('interval: 30 ms');
  });

  it('can take back what was put, also where no editor was opened', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'link').waitFor();
    await sheet(page, 'link').getByText('Rates of the values').click();
    await type(page, 'link', 'Rate of crests', '4');
    await page.getByText('crests every 100 ms → 250 ms').waitFor();
    await put(page).click();
    await page.getByText('This is the budget of the contract as it stands').waitFor();
    await page.locator('.shell-file-state, .shell-file').first().waitFor();
    await page.getByRole('button', { name: 'Take it back out' }).click();
    await page.getByText('crests every 100 ms → 250 ms').waitFor();
    await page.getByRole('button', { name: 'Drop what is tried' }).click();
    await expect
      .poll(() => lead(page, 'link'), soon)
      .toContain(percentText(budgetOf(tank.table, question).link.demand));
    expect(await textOf(page)).toContain('at-most: 10 Hz');
  });

  it('tells what cannot be, with the standard’s section, and does not put it', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'delay').waitFor();
    await type(page, 'delay', 'Supervision timeout', '0.06');
    const alert = page.getByRole('alert');
    await alert.getByText('Core Vol 6 Part B 4.5.2').first().waitFor();
    expect(await alert.innerText()).toContain('the supervision timeout is 60 ms');
    expect(await put(page).isDisabled()).toBe(true);
    await page.getByText('figures below are of the values before').waitFor();
    await type(page, 'delay', 'Supervision timeout', '2');
    await alert.waitFor({ state: 'detached' });
    expect(await put(page).isDisabled()).toBe(false);
    // Nonsense is not taken.
    await type(page, 'delay', 'Supervision timeout', 'long');
    expect(await exact(page, 'delay', 'Supervision timeout').inputValue()).toBe('2');
  });

  it('finds the scanner, the room and the cell that are chosen', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'room').waitFor();
    await sheet(page, 'found').getByRole('button', { name: 'background' }).click();
    const question1 = { ...question, patterns: question.patterns.filter(({ name }) => name === 'background') };
    const { found } = budgetOf(tank.table, question1);
    await expect.poll(() => lead(page, 'found'), soon).toContain(timeText(found.patterns[0]!.mean.closed));
    await type(page, 'room', 'Boards advertising', '200');
    await sheet(page, 'room').getByText('A plan for 200 boards').waitFor();
    await sheet(page, 'room').getByText('groups').waitFor();
    const life = await lead(page, 'battery');
    await sheet(page, 'battery').getByLabel('Begin with').selectOption('two AA cells');
    await expect.poll(() => lead(page, 'battery'), soon).not.toBe(life);
    await page.getByText('A budget is arithmetic, not a measurement.').waitFor();
  });

  it('is of the contract that is opened, and says when there is none to reckon', async () => {
    const page = await visit({ view: 'budget' });
    await sheet(page, 'link').waitFor();
    await dropFile(page, 'house.yaml', exampleText('greenhouse'));
    await sheet(page, 'link').getByText('soil').first().waitFor();
    await dropFile(page, 'broken.yaml', 'contract: 1\nboard: [');
    // The last text without errors is still what can be reckoned.
    await sheet(page, 'link').getByText('soil').first().waitFor();
  });
});
