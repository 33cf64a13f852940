import { readFileSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { longUuid } from '../../src/base/uuid.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { inMemoryLink } from '../../src/links/in-memory.ts';
import { RealClock } from '../../src/links/real-clock.ts';
import { check } from '../../src/table/check.ts';
import { hasBrowser } from './support/browser.ts';
import { launchRadioBrowser, serveRadioPage } from './support/radio-browser.ts';
import type { RadioActs } from './support/radio-page.ts';
import { hasBus, startRadioService, type RadioService } from './support/radio-service.ts';

const source = readFileSync('examples/wave-tank/contract.yaml', 'utf8');
/** For the flood: a number that goes out at once, as often as it changes. */
const flooding = `contract: 1
board: { name: Flood }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: flood
    characteristics:
      - { id: count, type: uint32, access: [read, notify], notify: { on: change } }
`;

declare const acts: RadioActs;
declare const requested: Promise<readonly string[]>;

describe.skipIf(!hasBrowser() || !hasBus())('an unmodified browser’s Web Bluetooth, in front of a board', () => {
  let host: { readonly url: string; stop(): Promise<void> };
  let board: VirtualBoard;
  let service: RadioService;
  const stops: (() => Promise<void> | void)[] = [];
  let page: Page;
  let onOperation: ((what: string) => Promise<void> | void) | undefined;

  beforeAll(async () => {
    host = await serveRadioPage();
  });
  afterAll(async () => {
    await host.stop();
  });

  const start = async (text: string): Promise<void> => {
    const { table } = check(text).value!;
    board = new VirtualBoard(table, { clock: new RealClock() });
    stops.push(() => {
      board.stop();
    });
    service = await startRadioService(inMemoryLink(board), {
      name: table.board.name,
      advertised: table.services.map(({ uuid }) => longUuid(uuid)),
      onOperation: (what) => onOperation?.(what),
    });
    stops.push(() => service.stop());
    const browser = await launchRadioBrowser(service.address, host.url);
    stops.push(() => browser.stop());
    ({ page } = browser);
    await page.evaluate((contract) => {
      acts.use(contract);
    }, text);
    await page.click('#request');
  };

  beforeEach(() => {
    onOperation = undefined;
  });
  afterEach(async () => {
    for (const stop of stops.splice(0).reverse()) await stop();
  });

  it('agrees with the contract, reads, writes, is refused, and is told of changes', async () => {
    await start(source);
    expect(await page.evaluate(() => requested)).toEqual([]);
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('3200');
    expect(await page.evaluate(() => acts.write('paddle', [0x7d, 0]))).toBe('written');
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('7d00');
    // Refused: 655.35 Hz is outside 0 to 4 Hz. The number of the error does not reach a page.
    expect(await page.evaluate(() => acts.write('paddle', [0xff, 0xff]))).toBe('att-error');
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('7d00');
    expect(await page.evaluate(() => acts.subscribe('crests', 'notify'))).toBe('notify');
    board.type('set crests 258');
    await page.waitForFunction(() => acts.values.includes('02010000'));
    // A read is no notification.
    expect(await page.evaluate(() => acts.read('crests'))).toBe('02010000');
    expect(await page.evaluate(() => acts.values.filter((value) => value === '02010000').length)).toBe(1);
    expect(await page.evaluate(() => acts.subscribe('crests', 'off'))).toBe('off');
  });

  it('takes 5,000 notifications in order and loses none', async () => {
    await start(flooding);
    expect(await page.evaluate(() => requested)).toEqual([]);
    expect(await page.evaluate(() => acts.subscribe('count', 'notify'))).toBe('notify');
    for (let i = 1; i <= 5000; i++) board.type(`set count ${i}`);
    await page.waitForFunction(() => acts.values.length >= 5000);
    const seen = await page.evaluate(() => acts.values);
    expect(seen.map((hex) => Buffer.from(hex, 'hex').readUInt32LE())).toEqual(
      Array.from({ length: 5000 }, (_, i) => i + 1),
    );
  });

  it('answers an operation in whose middle the link drops, and connects again', async () => {
    await start(source);
    expect(await page.evaluate(() => requested)).toEqual([]);
    onOperation = async () => {
      onOperation = undefined;
      await service.dropLink();
    };
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('link-lost');
    await page.waitForFunction(() => acts.states.at(-1) === 'connected' && acts.states.includes('waiting'));
    expect(await page.evaluate(() => acts.inspect())).toEqual([]);
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('3200');
  });

  it('finds a board that was allowed before, after a reload, without asking again', async () => {
    await start(source);
    expect(await page.evaluate(() => requested)).toEqual([]);
    await page.reload();
    const found = await page.evaluate((contract) => {
      acts.use(contract);
      return acts.remembered();
    }, source);
    expect(found).toEqual([]);
    expect(await page.evaluate(() => acts.read('paddle'))).toBe('3200');
  });
});
