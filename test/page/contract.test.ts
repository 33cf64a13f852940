import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { shoot } from './support/browser.ts';
import { describePage, type Visit, type VisitOptions } from './support/suite.ts';

const small = `contract: 1
board: { name: "Lamp {unit}", unit: "1" }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: lamp
    characteristics:
      - id: level
        label: Lamp level
        type: uint8
        unit: percentage
        range: [0, 100]
        access: [read, notify]
        notify: { on: change, at-most: 10 Hz }
`;

/** The contract view with its full editor and a sheet. */
async function openContract(visit: Visit, options: VisitOptions = {}): Promise<Page> {
  const page = await visit({ view: 'contract', ...options });
  await page.locator('.cm-content').waitFor();
  await page.locator('.sheet-title').waitFor();
  return page;
}

/** Puts a text in place of the whole contract, as who pastes it does, and waits until it has been checked. */
async function putText(page: Page, text: string): Promise<void> {
  await page.locator('.cm-content').focus();
  await page.keyboard.press('Control+A');
  await page.keyboard.insertText(text);
}

/** Takes the cursor to the end of a line, counted from 1. */
async function goToLine(page: Page, line: number): Promise<void> {
  await page.locator('.cm-content').focus();
  await page.keyboard.press('Control+Home');
  for (let i = 1; i < line; i++) await page.keyboard.press('ArrowDown');
  await page.keyboard.press('End');
}

/** It would answer from what it keeps, where a test holds the network back. */
function withoutServiceWorker(): void {
  Object.defineProperty(navigator.serviceWorker, 'register', { value: () => new Promise(() => undefined) });
}

const count = (page: Page): Promise<string> => page.locator('.contract-count').innerText();
/** The lines of the editor that are in sight. */
const shownText = async (page: Page): Promise<string> => (await page.locator('.cm-line').allInnerTexts()).join('\n');
const activeLine = (page: Page): Promise<string> => page.locator('.cm-activeLine').innerText();
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const active = document.activeElement;
    return (active?.shadowRoot?.activeElement ?? active)?.className ?? '';
  });

describePage('the contract view', (visit) => {
  it('shows the contract and prints its interface', async () => {
    const page = await openContract(visit);
    expect(await shownText(page)).toContain('name: Tank {unit}');
    expect(await count(page)).toBe('Nothing found: the contract is sound.');
    const paddle = page.locator('#sheet-paddle');
    for (const words of ['Paddle frequency', '0 to 4 Hz', '0.01 Hz', 'read, write', 'becomes 0 Hz within 2 s']) {
      await paddle.getByText(words, { exact: false }).first().waitFor();
    }
    expect(await paddle.getByText('at power-up word').innerText()).toContain('0x0001A36E');
    const hash = await page.locator('.sheet-hash dd').allInnerTexts();
    expect(hash).toHaveLength(2);
    expect(hash[1]!.split(' ').reverse().join(' ')).toBe(hash[0]);
    await page.getByRole('heading', { name: /^Advertising data/ }).waitFor();
  });

  it('marks a mistake as one types, and keeps the last good sheet', async () => {
    const page = await openContract(visit);
    await putText(page, small);
    await page.getByRole('heading', { name: 'Lamp 1', exact: true }).waitFor();
    await goToLine(page, 9);
    await page.keyboard.type('9');
    await expect.poll(() => count(page)).toBe('1 error');
    await page.locator('.cm-lintRange-error').waitFor();
    await page.locator('.cm-lint-marker-error').waitFor();
    const finding = page.locator('.contract-finding');
    expect(await finding.innerText()).toContain('uint89');
    await page.getByText('this is the sheet of the last text without any').waitFor();
    expect(await page.locator('#sheet-level').innerText()).toContain('0 to 100 %');
    await shoot(page, 'contract-error');
    await page.keyboard.press('Backspace');
    await expect.poll(() => count(page)).toBe('Nothing found: the contract is sound.');
    expect(await page.locator('.cm-lintRange-error').count()).toBe(0);
  });

  it('applies a fix with one click, and takes it back with one undo', async () => {
    const page = await openContract(visit);
    await putText(
      page,
      small.replace('board: { name: "Lamp {unit}", unit: "1" }', '$&\nradio: { advertise: { interval: 9 s } }'),
    );
    const fix = page.locator('.contract-acts').getByRole('button', { name: 'Make it 1 s' });
    await fix.click();
    await expect.poll(() => shownText(page)).toContain('interval: 1 s');
    await expect.poll(() => fix.count()).toBe(0);
    expect(await focused(page)).toContain('cm-content');
    await page.keyboard.press('Control+Z');
    await expect.poll(() => shownText(page)).toContain('interval: 9 s');
    await fix.waitFor();
  });

  it('goes to a finding, and to the other place it is about', async () => {
    const page = await openContract(visit);
    await putText(page, `${small}        start: 1\n        start: 2\n`);
    await expect.poll(() => count(page)).toContain('1 error');
    await page.locator('.contract-finding .contract-place').first().click();
    await expect.poll(() => activeLine(page)).toContain('start: 2');
    await page.locator('.contract-related .contract-place').click();
    await expect.poll(() => activeLine(page)).toContain('start: 1');
    await page.keyboard.press('F8');
    await expect.poll(() => activeLine(page)).toContain('start: 2');
  });

  it('tells why a finding matters, in the list and where the pointer rests', async () => {
    const page = await openContract(visit);
    await putText(page, small.replace('type: uint8', 'type: uint9'));
    await page.getByRole('button', { name: /^Why / }).click();
    await expect.poll(() => page.locator('.contract-reason').innerText()).toContain('Source:');
    await page.locator('.cm-lintRange-error').hover();
    const tooltip = page.locator('.cm-tooltip-lint');
    await expect.poll(() => tooltip.innerText()).toContain('uint9');
    await expect.poll(() => tooltip.locator('.soft').count()).toBe(2);
  });

  it('explains a key where the pointer rests', async () => {
    const page = await openContract(visit);
    await putText(page, small);
    await page.getByText('range', { exact: true }).first().hover();
    await expect
      .poll(() => page.locator('.cm-tooltip-hover').innerText())
      .toContain('Allowed values, in the unit, both bounds included.');
  });

  it('completes keys and words by the place they stand at', async () => {
    const page = await openContract(visit);
    await putText(page, small);
    await goToLine(page, 13);
    await page.keyboard.press('Enter');
    await page.keyboard.type('on-');
    const choices = page.locator('.cm-tooltip-autocomplete li');
    await expect.poll(() => choices.allInnerTexts()).toEqual([expect.stringContaining('on-link-loss')]);
    await choices.first().click();
    // The words of the key come at once.
    await expect.poll(() => choices.allInnerTexts()).toContain('keep');
    await choices.getByText('keep').click();
    await expect.poll(() => activeLine(page)).toContain('on-link-loss: keep');

    await page.keyboard.press('Enter');
    await page.keyboard.type('unit: her');
    await expect.poll(() => choices.first().innerText()).toContain('hertz');
    expect(await choices.first().innerText()).toContain('Hz');
  });

  it('finds a text', async () => {
    const page = await openContract(visit);
    await page.locator('.cm-content').focus();
    await page.keyboard.press('Control+F');
    await page.locator('.cm-search [name=search]').pressSequentially('rhodamine');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Escape');
    await expect.poll(() => activeLine(page)).toContain('rhodamine');
  });

  it('indents with Tab, and lets who uses only keys leave', async () => {
    const page = await openContract(visit);
    await putText(page, small);
    await page.keyboard.press('Tab');
    expect(await focused(page)).toContain('cm-content');
    await page.keyboard.press('Escape');
    await page.keyboard.press('Tab');
    expect(await focused(page)).not.toContain('cm-content');
  });

  it('goes from the sheet to the contract’s words', async () => {
    const page = await openContract(visit);
    await page.locator('#sheet-dye').getByRole('button', { name: 'Dye' }).click();
    await expect.poll(() => shownText(page)).toContain('label: Dye');
    await expect.poll(() => page.locator('#sheet-dye.sheet-current').count()).toBe(1);
  });

  it('keeps text and undo while another view is shown', async () => {
    const page = await openContract(visit);
    await goToLine(page, 1);
    await page.keyboard.type(' and more');
    await page.getByRole('link', { name: 'Panel' }).click();
    await page.locator('.contract').waitFor({ state: 'detached' });
    await page.getByRole('link', { name: 'Contract' }).click();
    await expect.poll(() => shownText(page)).toContain(' and more');
    await page.locator('.cm-content').focus();
    await page.keyboard.press('Control+Z');
    await expect.poll(() => shownText(page)).not.toContain(' and more');
  });

  it('never takes a label for markup', async () => {
    const page = await openContract(visit);
    const hostile = '<img src=x onerror=alert(1)><script>alert(2)</script>';
    await putText(page, small.replace('label: Lamp level', `label: "${hostile}"`));
    await page.locator('#sheet-level h4').getByText(hostile).waitFor();
    expect(await page.locator('.contract img, .contract script').count()).toBe(0);
  });
});

describePage('the editor on its way', (visit) => {
  it('takes over from the plain field with all that was typed', async () => {
    const page = await visit({ before: withoutServiceWorker });
    let release = (): void => undefined;
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    await page.route('**/code-editor-*.js', async (route) => {
      await held;
      await route.continue();
    });
    await page.getByRole('link', { name: 'Contract' }).click();
    const field = page.locator('textarea.contract-plain');
    await field.focus();
    await page.keyboard.press('Control+Home');
    await page.keyboard.type('# typed early\n');
    await page.getByText('Nothing found').waitFor();
    release();
    await page.locator('.cm-content').waitFor();
    expect((await shownText(page)).startsWith('# typed early\n# The demo')).toBe(true);
    await expect.poll(() => focused(page)).toContain('cm-content');
    await page.keyboard.type('and on');
    await expect
      .poll(() => activeLine(page))
      .toBe(
        'and on# The demo: a desk-top wave tank. A paddle makes waves; the board counts their crests at a gauge, measures the level and',
      );
  });

  it('is done without where it cannot be fetched, and comes when asked again', async () => {
    const page = await visit({ allowed: /Failed to load resource|ERR_FAILED/, before: withoutServiceWorker });
    await page.route('**/code-editor-*.js', (route) => route.abort());
    await page.getByRole('link', { name: 'Contract' }).click();
    await page.getByText('this plain field does the same work').waitFor();
    const field = page.locator('textarea.contract-plain');
    await field.fill(small.replace('uint8', 'uint9'));
    await expect.poll(() => count(page)).toBe('1 error');
    await page.locator('.contract-place').first().click();
    expect(await field.evaluate((it: HTMLTextAreaElement) => it.value.slice(it.selectionStart, it.selectionEnd))).toBe(
      'uint9',
    );
    await page.unroute('**/code-editor-*.js');
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.locator('.cm-content').waitFor();
    expect(await shownText(page)).toContain('uint9');
  });

  it('gives a file its own line ends back', async () => {
    const page = await openContract(visit, {
      before: () => {
        Reflect.deleteProperty(window, 'showSaveFilePicker');
      },
    });
    const text = small.replaceAll('\n', '\r\n');
    await page.evaluate((content) => {
      const data = new DataTransfer();
      data.items.add(new File([content], 'lamp.yaml'));
      document.body.dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: data }));
    }, text);
    await expect.poll(() => shownText(page)).toContain('Lamp {unit}');
    await goToLine(page, 2);
    await page.keyboard.type(' # one');
    await page.keyboard.press('Enter');
    const [download] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Control+S')]);
    const saved = await (await download.createReadStream()).toArray();
    expect(Buffer.concat(saved as Buffer[]).toString()).toBe(
      text.replace('unit: "1" }\r\n', 'unit: "1" } # one\r\n\r\n'),
    );
  });
});

describePage('the look of the contract view', (visit) => {
  it.each([
    { width: 390, height: 844, beside: false },
    { width: 1366, height: 800, beside: true },
    { width: 1920, height: 1080, beside: true },
  ])('fits $width pixels', async ({ width, height, beside }) => {
    const page = await openContract(visit, { width, height });
    const text = (await page.locator('.contract-text').boundingBox())!;
    const sheet = (await page.locator('.contract-sheet').boundingBox())!;
    if (beside) expect(sheet.x).toBeGreaterThanOrEqual(text.x + text.width);
    else expect(sheet.y).toBeGreaterThanOrEqual(text.y + text.height);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(width);
    await shoot(page, `contract-${width}`);
  });

  it.each([false, true])('has nothing serious to hinder anybody (dark: %s)', async (dark) => {
    const page = await openContract(visit, { dark });
    await putText(page, small.replace('uint8', 'uint9'));
    await expect.poll(() => count(page)).toBe('1 error');
    await shoot(page, dark ? 'contract-dark' : 'contract-light');
    await page.evaluate(axe.source);
    const violations = await page.evaluate(async () => {
      const runner = (
        globalThis as unknown as {
          axe: {
            run: () => Promise<{
              violations: readonly { impact?: string; id: string; nodes: readonly { html: string }[] }[];
            }>;
          };
        }
      ).axe;
      const { violations: found } = await runner.run();
      return found
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => `${id}: ${nodes[0]?.html ?? ''}`);
    });
    expect(violations).toEqual([]);
  });

  it('says in words what the rulers draw', async () => {
    const page = await openContract(visit);
    const calibration = page.locator('#sheet-calibration');
    const name = await calibration.getByRole('img').getAttribute('aria-label');
    expect(name).toContain('octets 0 to 1: Gain, sint16 × 0.0001, now 1.');
    const rows = await calibration.getByRole('table').getByRole('row').allInnerTexts();
    expect(rows.map((row) => row.split(/\s*\t\s*/))).toEqual([
      ['Place', 'Field', 'Coding', 'Value'],
      ['octets 0 to 1', 'Gain', 'sint16 × 0.0001', '1'],
      ['octets 2 to 3', 'Offset', 'sint16 × 10⁻⁵ m', '0 m'],
      ['octet 4', 'Points used', 'uint8', '2'],
    ]);
  });
});
