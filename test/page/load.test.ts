import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { expect, inject, it } from 'vitest';
import { builtPage } from './support/browser.ts';
import { plate, ready } from './support/panel.ts';
import { describePage } from './support/suite.ts';

/** Octets of a first visit after gzip. */
const limit = 120_000;
/** Milliseconds until the panel can be used, on a machine that does nothing else. */
const readyAfter = 1000;

describePage('loading', (visit) => {
  it('is small: the first visit takes no editor and no checker, and all that it takes counts', async () => {
    const page = await visit();
    await ready(page);
    const readyAt = await page.evaluate(() => performance.now());
    console.log(`panel and link ready ${Math.round(readyAt)} ms after the page was asked for; wanted ${readyAfter} ms`);
    // What comes when the panel stands, charts and all.
    await page.locator('.panel-chart canvas').first().waitFor();
    await plate(page, 'paddle').locator('.panel-drive').waitFor();
    const fetched = await page.evaluate(() => performance.getEntriesByType('resource').map(({ name }) => name));
    const names = [...new Set(fetched)].map((name) => name.slice(inject('page')!.url.length));
    const code = ['index.html', ...names.filter((name) => /\.(js|css)$/.test(name) && name !== 'service-worker.js')];
    const fonts = names.filter((name) => name.endsWith('.woff2'));
    const html = readFileSync(`${builtPage}/index.html`, 'utf8');
    const named = [...html.matchAll(/(?:src|href)="\.\/([^"]+\.(?:js|css))"/g)].map(([, name]) => name ?? '');
    const atOnce = code.filter((name) => name === 'index.html' || name === 'worker.js' || named.includes(name));
    console.log(
      `a first visit takes ${sizeOf(code)} octets of HTML, scripts and styles after gzip, at most ${limit}; ` +
        `${sizeOf(atOnce)} before the panel stands, the rest (${code.filter((name) => !atOnce.includes(name)).join(', ')}) ` +
        `behind it; besides, ${fonts.length} fonts, compressed already`,
    );
    expect(atOnce).toHaveLength(named.length + 2);
    expect(code.some((name) => /code-editor|check-/.test(name))).toBe(false);
    expect(sizeOf(code)).toBeLessThan(limit);
  });

  it('needs no network once it was there', async () => {
    const page = await visit();
    await ready(page);
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
    await page.reload();
    await ready(page);
    await page.context().setOffline(true);
    await page.reload();
    await ready(page);
    // Also what was never shown before.
    await page.locator('.shell-views a[href="#contract"]').click();
    await page.locator('.cm-content').waitFor();
    await page.locator('.shell-views a[href="#proof"]').click();
    await page.getByRole('button', { name: 'Run mtu' }).click();
    await page.locator('.proof-sentence').waitFor();
    await page.context().setOffline(false);
  });

  it('forbids inline scripts', async () => {
    const page = await visit({ allowed: /policy: script-src|Content Security Policy/i });
    await ready(page);
    const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute('content');
    // WebAssembly may be compiled; that lets no script in.
    expect(policy?.replace("'wasm-unsafe-eval'", '')).not.toContain('unsafe');
    const ran = await page.evaluate(() => {
      const script = document.createElement('script');
      script.textContent = 'globalThis.ran = true';
      document.body.append(script);
      return (globalThis as { ran?: boolean }).ran;
    });
    expect(ran).toBeUndefined();
    await plate(page, 'paddle').waitFor();
  });
});

function sizeOf(names: readonly string[]): number {
  return names.reduce((sum, name) => sum + gzipSync(readFileSync(`${builtPage}/${name}`), { level: 9 }).length, 0);
}
