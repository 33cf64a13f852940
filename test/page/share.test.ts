import decodeQR from 'qr/decode.js';
import { expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { shoot } from './support/browser.ts';
import { ready } from './support/panel.ts';
import { describePage } from './support/suite.ts';

/** The address that a camera would read from the code on the screen. */
async function scan(page: Page): Promise<string> {
  const code = page.getByRole('img', { name: /^QR code/ });
  const { size, path } = await code.evaluate((svg) => ({
    size: Number(svg.getAttribute('viewBox')!.split(' ')[2]),
    path: svg.querySelector('path')!.getAttribute('d')!,
  }));
  const scale = 4;
  const width = size * scale;
  const data = new Uint8Array(width * width * 4).fill(255);
  for (const [, x, y] of path.matchAll(/M(\d+) (\d+)h1v1h-1z/g)) {
    for (let i = 0; i < scale * scale; i++) {
      const at = (Number(y) * scale + Math.floor(i / scale)) * width + Number(x) * scale + (i % scale);
      data.fill(0, at * 4, at * 4 + 3);
    }
  }
  return decodeQR({ width, height: width, data });
}

describePage('a contract taken along on a phone', (visit) => {
  it('opens from the code, with its name, and the address is short again', async () => {
    const page = await visit();
    await ready(page);
    await page.getByRole('button', { name: 'More' }).click();
    await page.getByRole('button', { name: 'On a phone' }).click();
    await page.getByText('A phone cannot reach this address').waitFor();
    await shoot(page, 'share');
    const address = await scan(page);
    expect(address.startsWith(page.url().split('#')[0]!)).toBe(true);
    await page.getByRole('button', { name: 'Close' }).click();

    const phone = await visit({ width: 390, height: 844, dark: true });
    await phone.goto('about:blank');
    await phone.goto(address);
    await ready(phone);
    expect(await phone.title()).toContain('wave-tank.yaml');
    expect(new URL(phone.url()).hash).toBe('#panel');
  });

  it('tells of an address that was cut', async () => {
    const page = await visit();
    await ready(page);
    await page.evaluate(() => {
      location.hash = 'open=AAAA';
    });
    await page.getByText('The contract in the address is not whole').waitFor();
  });
});
