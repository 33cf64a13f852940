import { createServer, type Server } from 'node:http';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { chromium, type Browser, type Page } from 'playwright-core';
import { browserPath } from './browser.ts';

/** A browser whose Bluetooth service is at `busAddress`, on a small page with the acts of radio-page.ts. */
export type RadioBrowser = { readonly page: Page; stop(): Promise<void> };

/**
 * The browser asks for nothing: whoever calls `requestDevice` gets the first device that it finds.
 *
 * @throws Error when there is no browser
 */
export async function launchRadioBrowser(busAddress: string, url: string): Promise<RadioBrowser> {
  const executablePath = browserPath();
  if (executablePath === undefined) throw new Error('there is no Chromium: apt-get install chromium');
  const browser: Browser = await chromium.launch({
    executablePath,
    env: { ...(process.env as Record<string, string>), DBUS_SYSTEM_BUS_ADDRESS: busAddress },
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      // Off by default on Linux.
      '--enable-features=WebBluetooth,WebBluetoothNewPermissionsBackend',
      '--enable-blink-features=WebBluetoothGetDevices',
    ],
  });
  const page = await browser.newPage();
  page.setDefaultTimeout(20_000);
  const devTools = await page.context().newCDPSession(page);
  const answered = new Set<string>();
  await devTools.send('DeviceAccess.enable');
  devTools.on('DeviceAccess.deviceRequestPrompted', ({ id, devices }) => {
    const [device] = devices;
    // Told again with each device that is found; a second choice for one prompt ends the browser.
    if (device === undefined || answered.has(id)) return;
    answered.add(id);
    void devTools.send('DeviceAccess.selectPrompt', { id, deviceId: device.id });
  });
  await page.goto(url);
  return { page, stop: () => browser.close() };
}

/** Serves the small page on loopback, which browsers take for secure. */
export async function serveRadioPage(): Promise<{ readonly url: string; stop(): Promise<void> }> {
  const entry = fileURLToPath(new URL('radio-page.ts', import.meta.url));
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    format: 'esm',
    write: false,
    logLevel: 'silent',
  });
  const script = outputFiles[0]?.text ?? '';
  const server: Server = createServer((request, response) => {
    if (request.url === '/page.js') response.setHeader('content-type', 'text/javascript').end(script);
    else response.setHeader('content-type', 'text/html').end(html);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  return {
    url: `http://127.0.0.1:${port}/`,
    stop: async () => {
      server.close();
      server.closeAllConnections();
      await once(server, 'close');
    },
  };
}

const html = `<!doctype html><meta charset="utf-8"><title>radio</title>
<button id="request" onclick="window.requested = acts.request()">Connect</button>
<script type="module" src="/page.js"></script>`;
