import { expect, it } from 'vitest';
import type { Locator, Page } from 'playwright-core';
import { act, ready, truthOf } from './support/panel.ts';
import { contentOf, shoot } from './support/browser.ts';
import { describePage } from './support/suite.ts';

const row = (page: Page, id: string): Locator => page.locator(`.ledger-statistics tr[data-value="${id}"]`);
const lane = (page: Page, id: string): Locator => page.locator(`.ledger-lane[data-value="${id}"]`);
/** A fast machine needs none of it. */
const soon = { timeout: 20_000 };
const press = (page: Page, name: string): Promise<void> => page.getByRole('button', { name, exact: true }).click();

async function subscribed(page: Page): Promise<void> {
  await ready(page);
  await press(page, 'Subscribe to all');
  await page.getByRole('button', { name: 'Subscribe to all' }).waitFor({ state: 'detached' });
}

const show = (page: Page, view: string): Promise<void> => page.locator(`.shell-views a[href="#${view}"]`).click();

/** A column of a value's line, as a number. */
async function figure(page: Page, id: string, column: number): Promise<number> {
  return Number(await row(page, id).locator('td').nth(column).innerText());
}

describePage('the ledger', (visit) => {
  it('shows what the board holds and what crossed, each crossing with its delay', async () => {
    const page = await visit();
    await subscribed(page);
    await act(page, 'paddle', 'Read').click();
    await show(page, 'ledger');
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(20);
    expect(await figure(page, 'paddle', 2)).toBe(1);
    expect(await row(page, 'level').locator('.ledger-delays').innerText()).toMatch(/^[\d.]+ ms, [\d.]+ ms, [\d.]+ ms$/);
    expect(await row(page, 'level').locator('svg').getAttribute('aria-label')).toMatch(
      /^Water level at the gauge, delays: \d+ of/,
    );
    expect(await lane(page, 'level').locator('canvas').getAttribute('aria-label')).toMatch(
      /changes on the board, \d+ crossings/,
    );
    // Both inks are on the drawing.
    const inks = await lane(page, 'level')
      .locator('canvas')
      .evaluate((canvas) => {
        const { width, height } = canvas as HTMLCanvasElement;
        const { data } = (canvas as HTMLCanvasElement).getContext('2d')!.getImageData(0, 0, width, height);
        let board = 0;
        let air = 0;
        for (let i = 0; i < data.length; i += 4) {
          if (data[i + 3]! < 200) continue;
          if (data[i]! < 60 && data[i + 1]! > 80) board += 1;
          if (data[i]! > 180 && data[i + 2]! < 80) air += 1;
        }
        return { board, air };
      });
    expect(Math.min(inks.board, inks.air)).toBeGreaterThan(50);
    // A window on one value only.
    await page.getByRole('combobox', { name: 'Value' }).selectOption('Crests counted');
    await expect.poll(() => page.locator('.ledger-lane').count(), soon).toBe(1);
  });

  it('names what a faulty board loses', async () => {
    const page = await visit({ view: 'proof' });
    await page.getByLabel('Words').fill('half as often');
    await page.getByRole('checkbox').check();
    await page.locator('.proof-planted').waitFor();
    await show(page, 'panel');
    await subscribed(page);
    await show(page, 'ledger');
    await row(page, 'level').getByRole('button', { name: /lost/ }).waitFor();
    await page.locator('.ledger-step-marked').first().waitFor();
    await shoot(page, 'ledger-marks');
    expect(await page.locator('.ledger-sentence').innerText()).toMatch(/\d+ marked/);
    // Pressed, the mark shows where: only what is marked, of this value, over the whole session.
    await row(page, 'level').getByRole('button', { name: /lost/ }).click();
    await expect.poll(() => page.locator('.ledger-lane').count(), soon).toBe(1);
    expect(await page.getByLabel('only what is marked').isChecked()).toBe(true);
  });

  it('shows the exchange step by step, and a value’s octets on the ruler', async () => {
    const page = await visit();
    await ready(page);
    await act(page, 'paddle', 'Read').click();
    await show(page, 'ledger');
    const step = page.locator('.ledger-step', { hasText: 'Paddle frequency' }).filter({ hasText: 'read: 0.5 Hz' });
    await step.waitFor();
    expect(await step.locator('code').innerText()).toBe('32 00');
    await press(page, 'Follow');
    await step.getByRole('button').click();
    const chosen = page.locator('.ledger-chosen');
    expect(await chosen.locator('.ledger-chosen-value').innerText()).toBe('0.5 Hz');
    await chosen.locator('.ruler-box svg').waitFor();
    await chosen.getByRole('button', { name: 'Close' }).click();
    await chosen.waitFor({ state: 'detached' });
  });

  it('holds still, goes back in time and follows again', async () => {
    const page = await visit();
    await subscribed(page);
    await show(page, 'ledger');
    await page.getByLabel('Window').selectOption('5 s');
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(120);
    await press(page, 'Earlier');
    const held = await page.locator('.ledger-window').innerText();
    const before = await figure(page, 'level', 1);
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(before);
    expect(await page.locator('.ledger-window').innerText()).toBe(held);
    await press(page, 'Follow');
    await expect.poll(() => page.locator('.ledger-window').innerText(), soon).not.toBe(held);
  });

  it('records every session: a closed tab leaves all but its last second', async () => {
    const page = await visit();
    await subscribed(page);
    await show(page, 'ledger');
    await page.locator('.ledger-recording').first().waitFor();
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(60);
    const told = await page.locator('.ledger-statistics tr[data-value="level"] td').nth(0).innerText();
    await page.close();
    const next = await visit({ context: page.context(), view: 'ledger' });
    const old = next.locator('.ledger-recording', { hasNotText: 'being recorded' });
    await old.waitFor();
    const download = next.waitForEvent('download');
    await old.getByRole('button', { name: /^Export/ }).click();
    const text = await contentOf(await download);
    const [head, ...lines] = text
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(head).toMatchObject({ format: 'gattwright session', version: 1 });
    const levels = lines.filter(({ is, line }) => is === 'printed' && /^tell \d+ level /.test(String(line))).length;
    // A second holds twenty.
    expect(levels).toBeGreaterThanOrEqual(Number(told) - 20);
  });

  it('plays a recording in the panel, at any speed, and goes back to the board', async () => {
    const page = await visit();
    await subscribed(page);
    await act(page, 'dye', 'Read').click();
    await show(page, 'ledger');
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(40);
    await page.getByRole('button', { name: /^Play/ }).click();
    await press(page, 'Play the recording');
    await page.locator('.ledger-replay').waitFor();
    await page.getByLabel('Speed').selectOption('16 ×');
    await page.getByRole('button', { name: 'At its end' }).waitFor();
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(40);
    await show(page, 'panel');
    expect(await truthOf(page, 'paddle').innerText()).toContain('0.50 Hz');
    await act(page, 'paddle', 'Read').click();
    await show(page, 'ledger');
    await page.locator('.ledger-replay').getByRole('button', { name: 'Back to the board' }).click();
    await page.locator('.ledger-replay').waitFor({ state: 'detached' });
    await page.locator('.link-connected').waitFor();
    await expect.poll(() => page.locator('.ledger-recording').count(), soon).toBeGreaterThanOrEqual(1);
  });

  it('exports values and packets, and opens a recording from a file', async () => {
    const page = await visit();
    await subscribed(page);
    await show(page, 'ledger');
    await page.locator('.ledger-recording').first().waitFor();
    await expect.poll(() => figure(page, 'level', 1), soon).toBeGreaterThan(20);
    const exported = async (words: string): Promise<{ name: string; content: Buffer }> => {
      await page.getByLabel('Export as').selectOption(words);
      const download = page.waitForEvent('download');
      await page
        .getByRole('button', { name: /^Export/ })
        .first()
        .click();
      const file = await download;
      const pieces = (await (await file.createReadStream()).toArray()) as Buffer[];
      return { name: file.suggestedFilename(), content: Buffer.concat(pieces) };
    };
    const csv = await exported('values as CSV');
    expect(csv.name).toMatch(/^Tank-01-.*\.csv$/);
    expect(csv.content.toString()).toMatch(
      /^time_s,side,id,how,raw_hex,number,unit,value,board_ms,connection,delay_s,mark\r\n/,
    );
    expect(csv.content.toString()).toMatch(/,air,level,notified,[0-9a-f]{4},-?[\d.]+,m,/);
    expect((await exported('values as Parquet')).content.subarray(0, 4).toString()).toBe('PAR1');
    expect((await exported('packets as pcapng')).content.readUInt32LE(0)).toBe(0x0a0d0d0a);
    const lines = (await exported('values as JSON lines')).content.toString().trimEnd().split('\n');
    expect(JSON.parse(lines[0]!)).toMatchObject({ side: 'board' });
    const recording = await exported('the recording itself');

    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'session.jsonl', mimeType: 'application/json', buffer: recording.content });
    await expect.poll(() => page.locator('.ledger-recording').count(), soon).toBe(2);
    await page
      .getByRole('button', { name: /^Compare/ })
      .first()
      .click();
    await page.getByRole('button', { name: /with the chosen one$/ }).click();
    await page.locator('.ledger-comparison').waitFor();
    // Deleted again.
    await page.getByRole('button', { name: /^Delete/, disabled: false }).click();
    await press(page, 'Delete it');
    await expect.poll(() => page.locator('.ledger-recording').count(), soon).toBe(1);
    await page
      .locator('input[type=file]')
      .setInputFiles({ name: 'notes.txt', mimeType: 'text/plain', buffer: Buffer.from('hello') });
    await page.getByText('no recording of gattwright').waitFor();
  });

  it('listens to the console of a real board by Web Serial, and says when it goes', async () => {
    const page = await visit({ before: plugInBoard });
    await ready(page);
    await show(page, 'ledger');
    await press(page, 'Listen to a real board');
    await page.getByText('a real board, by its console').waitFor();
    // What it holds was asked for, what changes is told.
    await expect.poll(() => figure(page, 'paddle', 0), soon).toBeGreaterThanOrEqual(2);
    expect(await page.locator('.ledger-sentence').innerText()).toMatch(/each accounted for; times of the board within/);
    await show(page, 'panel');
    await expect.poll(() => truthOf(page, 'paddle').innerText(), soon).toMatch(/3\.\d\d Hz/);
    await act(page, 'paddle', 'Read').waitFor();
    await page.evaluate(() => {
      (globalThis as unknown as { unplug: () => void }).unplug();
    });
    await page.getByText('serial port has gone').waitFor();
    await show(page, 'ledger');
    await press(page, 'Back to the virtual board');
    await page.locator('.link-connected').waitFor();
  });
});

/** A board on a serial port of the browser, in the page itself: it answers `get paddle` and `time` and moves its paddle. */
function plugInBoard(): void {
  const began = performance.now();
  const ms = (): number => Math.floor(performance.now() - began);
  let printer: ReadableStreamDefaultController<Uint8Array> | undefined;
  const print = (line: string): void => printer?.enqueue(new TextEncoder().encode(`${line}\r\n`));
  const answer = (line: string): void => {
    if (line === 'time') print(`time ${ms()}`);
    if (line === 'get paddle') print(`value ${ms()} paddle 2c01`);
    print(`done ${line.split(' ')[0] ?? ''}`);
  };
  const port = {
    readable: null as ReadableStream<Uint8Array> | null,
    writable: null as WritableStream<Uint8Array> | null,
    open(): Promise<void> {
      this.readable = new ReadableStream({
        start: (controller) => {
          printer = controller;
        },
      });
      let rest = '';
      this.writable = new WritableStream({
        write: (octets) => {
          const lines = (rest + new TextDecoder().decode(octets)).split('\r\n');
          rest = lines.pop() ?? '';
          lines.forEach(answer);
        },
      });
      print('ets boot noise');
      setInterval(() => {
        print(`tell ${ms()} paddle ${(44 + (ms() % 50)).toString(16).padStart(2, '0')}01 rig`);
      }, 200);
      return Promise.resolve();
    },
    close: () => Promise.resolve(),
  };
  Object.defineProperty(navigator, 'serial', {
    value: { requestPort: () => Promise.resolve(port), getPorts: () => Promise.resolve([]) },
  });
  (globalThis as unknown as { unplug: () => void }).unplug = () => {
    port.readable = null;
    printer?.error(new DOMException('gone', 'NetworkError'));
    printer = undefined;
  };
}
