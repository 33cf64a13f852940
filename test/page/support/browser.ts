import { existsSync, mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import {
  chromium,
  type Browser,
  type BrowserContext,
  type BrowserServer,
  type Download,
  type Page,
} from 'playwright-core';

const root = fileURLToPath(new URL('../../../', import.meta.url));

/** Where the browser may be; Debian's package `chromium` is the first. */
const places = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/** The built page, as `npm start` serves it. */
export const builtPage = `${root}dist/page`;

/** The browser's program, or `undefined` when there is none. */
export function browserPath(): string | undefined {
  return places.find((path) => existsSync(path));
}

/**
 * True when there is a browser to test in. Without one a machine of the build fails, a developer's is told.
 *
 * @throws Error under CI
 */
export function hasBrowser(): boolean {
  if (browserPath() !== undefined) return true;
  const message = 'the page is tested in Chromium, and there is none: apt-get install chromium';
  if (process.env['CI'] !== undefined) throw new Error(message);
  console.warn(message);
  return false;
}

/** The browser as a process of its own that each file of tests connects to. @throws Error when there is none */
export async function launchServer(): Promise<BrowserServer> {
  const executablePath = browserPath();
  if (executablePath === undefined) throw new Error('there is no Chromium: apt-get install chromium');
  return chromium.launchServer({
    executablePath,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** What a page complained of: its console's errors, what was thrown in it, what its security policy forbade. */
export async function watchComplaints(page: Page): Promise<readonly string[]> {
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  page.on('pageerror', (error) => {
    complaints.push(error.message);
  });
  await page.exposeFunction('tellViolation', (text: string) => complaints.push(text));
  await page.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) => {
      (globalThis as unknown as { tellViolation: (text: string) => void }).tellViolation(
        `policy: ${violatedDirective} ${blockedURI}`,
      );
    });
  });
  return complaints;
}

/** A fresh visitor, without anything kept. */
export async function newVisitor(
  browser: Browser,
  options: { readonly width?: number; readonly height?: number; readonly dark?: boolean } = {},
): Promise<BrowserContext> {
  const { width = 1366, height = 800, dark = false } = options;
  return browser.newContext({ viewport: { width, height }, colorScheme: dark ? 'dark' : 'light' });
}

/** Takes a picture into the ignored folder `shots/`. */
export async function shoot(page: Page, name: string): Promise<void> {
  mkdirSync(`${root}shots`, { recursive: true });
  await page.screenshot({ path: `${root}shots/${name}.png` });
}

/** The text of a download. */
export async function contentOf(file: Download): Promise<string> {
  const stream = await file.createReadStream();
  stream.setEncoding('utf8');
  return (await stream.toArray()).join('');
}
