import { afterAll, afterEach, beforeAll, describe, expect, inject } from 'vitest';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';
import { newVisitor, watchComplaints } from './browser.ts';

export type VisitOptions = {
  readonly width?: number;
  readonly height?: number;
  readonly dark?: boolean;
  /** Part of the address behind `#`: a view. */
  readonly view?: 'contract' | 'panel' | 'ledger' | 'proof' | 'budget';
  /** Another page of an earlier visitor, with what that one kept. */
  readonly context?: BrowserContext;
  /** Done in the page before its own scripts. */
  readonly before?: () => void;
  /** What the page may complain of; nothing by default. */
  readonly allowed?: RegExp;
};

/** Opens the page as a fresh visitor does. */
export type Visit = (options?: VisitOptions) => Promise<Page>;

/**
 * Tests in the real browser. After each one every page that was opened must be without complaint: no error in the
 * console, nothing thrown, nothing that its security policy had to forbid.
 */
export function describePage(name: string, body: (visit: Visit) => void): void {
  const place = inject('page');
  describe.skipIf(place === undefined)(name, () => {
    let browser: Browser;
    let open: { readonly page: Page; readonly complaints: readonly string[]; readonly allowed: RegExp | undefined }[] =
      [];

    beforeAll(async () => {
      browser = await chromium.connect(place!.browser);
    });
    afterAll(async () => {
      await browser.close();
    });
    afterEach(async () => {
      const told = open.flatMap(({ complaints, allowed }) => complaints.filter((text) => allowed?.test(text) !== true));
      const contexts = new Set(open.map(({ page }) => page.context()));
      open = [];
      for (const context of contexts) await context.close();
      expect(told).toEqual([]);
    });

    body(async ({ width, height, dark, view, context: given, before, allowed } = {}) => {
      const size = { ...(width === undefined ? {} : { width }), ...(height === undefined ? {} : { height }) };
      const context = given ?? (await newVisitor(browser, { ...size, ...(dark === undefined ? {} : { dark }) }));
      const page = await context.newPage();
      page.setDefaultTimeout(20_000);
      open.push({ page, complaints: await watchComplaints(page), allowed });
      if (before !== undefined) await page.addInitScript(before);
      await page.goto(place!.url + (view === undefined ? '' : `#${view}`));
      return page;
    });
  });
}
