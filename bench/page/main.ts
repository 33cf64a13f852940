import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { benchFlood, countInPage } from './flood.ts';
import { benchReady } from './ready.ts';
import { benchTyping } from './typing.ts';

/** Where scripts/bench.mjs runs this. */
const root = process.cwd();
const browserPath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
/** Seconds of the flood. */
const seconds = Number(process.argv[2] ?? 60);

async function main(executablePath: string): Promise<void> {
  const { serve } = (await import(join(root, 'scripts', 'serve.mjs'))) as {
    serve: (folder: string) => Promise<{ url: string; stop: () => Promise<void> }>;
  };
  const host = await serve(join(root, 'dist', 'page'));
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
  const visit = async (): Promise<Page> =>
    (await browser.newContext({ viewport: { width: 1366, height: 800 } })).newPage();
  try {
    await benchReady(browser, host.url);
    await benchTyping(await visit(), host.url);
    const page = await visit();
    await page.addInitScript(countInPage);
    await benchFlood(page, host.url, seconds);
  } finally {
    await browser.close();
    await host.stop();
  }
}

console.log('\nThe built page in headless Chromium');
if (browserPath === undefined) console.log('  not run: there is no Chromium (apt-get install chromium)');
else await main(browserPath);
