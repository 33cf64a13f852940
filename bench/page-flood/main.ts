import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type CDPSession, type Page } from 'playwright-core';

// The built page in the real browser under 2,000 notifications a second for a minute: ten values notified every 5 ms, the
// most that the checker lets a 2M PHY carry, as far as the machine's timers keep up. The rate that was reached is measured
// and printed, beside the same page with the wave tank's own traffic.

/** Where scripts/bench.mjs runs this. */
const root = process.cwd();
const browserPath = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find(existsSync);
const seconds = Number(process.argv[2] ?? 60);
/** A task of the main thread that is felt: W3C Long Tasks API. */
const longTask = 50;

const flood = `contract: 1
board: { name: Flood }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
radio: { connection: { interval: 7.5 ms, phy: 2M } }
services:
  - id: bench
    label: Bench
    characteristics:
${Array.from({ length: 10 }, (_, i) => `      - { id: v${i}, label: Value ${i}, type: sint16, scale: { decimal: -2 }, unit: metre, range: [-300, 300], access: [read, notify], notify: { on: every 5 ms, at-most: 200 Hz } }`).join('\n')}
`;

type Counters = { notified: number; tasks: number[] };
type Measured = { readonly rate: number; readonly tasks: readonly number[]; readonly heaps: readonly number[] };

/** Counts in the page, beside its own listeners: values that the worker hands over, and long tasks. */
function countInPage(): void {
  const counters: Counters = { notified: 0, tasks: [] };
  Object.assign(globalThis, { counters });
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) counters.tasks.push(Math.round(duration));
  }).observe({ entryTypes: ['longtask'] });
  const Plain = Worker;
  globalThis.Worker = class extends Plain {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      this.addEventListener('message', ({ data }: MessageEvent<{ batch?: { air: { how: string }[] } }>) => {
        counters.notified += data.batch?.air.filter(({ how }) => how === 'notified').length ?? 0;
      });
    }
  };
}

async function measure(page: Page, session: CDPSession, length: number): Promise<Measured> {
  const take = (): Promise<Counters> =>
    page.evaluate(() => {
      const { counters } = globalThis as unknown as { counters: Counters };
      const copy = { ...counters };
      counters.notified = 0;
      counters.tasks = [];
      return copy;
    });
  await take();
  const heaps = [await heapOf(session)];
  // Collecting the garbage for the first figure was a long task of ours.
  await take();
  const start = performance.now();
  await page.waitForTimeout(length * 1000);
  const elapsed = (performance.now() - start) / 1000;
  const { notified, tasks } = await take();
  heaps.push(await heapOf(session));
  return { rate: notified / elapsed, tasks, heaps };
}

/** Octets in use on the main thread after a collection. */
async function heapOf(session: CDPSession): Promise<number> {
  await session.send('HeapProfiler.collectGarbage');
  const { usedSize } = await session.send('Runtime.getHeapUsage');
  return usedSize;
}

function tell(name: string, { rate, tasks, heaps }: Measured): void {
  const long = tasks.filter((task) => task > longTask);
  const [first = 0, last = 0] = heaps.map((octets) => octets / 1e6);
  console.log(
    `  ${name.padEnd(34)} ${Math.round(rate).toString().padStart(5)} notifications/s; ` +
      `${long.length} tasks over ${longTask} ms (longest ${Math.max(0, ...tasks)} ms); ` +
      `heap ${first.toFixed(1)} MB at the start, ${last.toFixed(1)} MB at the end`,
  );
}

async function main(executablePath: string): Promise<void> {
  const { serve } = (await import(join(root, 'scripts', 'serve.mjs'))) as {
    serve: (folder: string) => Promise<{ url: string; stop: () => Promise<void> }>;
  };
  const host = await serve(join(root, 'dist', 'page'));
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] });
  try {
    const page = await (await browser.newContext({ viewport: { width: 1366, height: 800 } })).newPage();
    await page.addInitScript(countInPage);
    const session = await page.context().newCDPSession(page);
    await page.goto(host.url);
    await page.locator('.link-connected').waitFor();
    await page.getByRole('button', { name: 'Subscribe to all' }).click();
    await page.waitForTimeout(2000);
    const idle = await measure(page, session, Math.min(15, seconds));
    tell('wave tank, all subscribed', idle);

    await page.evaluate((text) => {
      const data = new DataTransfer();
      data.items.add(new File([text], 'flood.yaml'));
      document.body.dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: data }));
    }, flood);
    await page.locator('.shell-file-name', { hasText: 'flood' }).waitFor();
    await page.getByRole('button', { name: 'Restart board' }).click();
    await page.locator('.link-board-name', { hasText: 'Flood' }).waitFor();
    await page.locator('.link-connected').waitFor();
    await page.getByRole('button', { name: 'Subscribe to all' }).click();
    // The charts are full after 30 s; from then on the heap must be flat.
    await page.waitForTimeout(Math.min(32, seconds) * 1000);
    const flooded = await measure(page, session, seconds);
    tell(`flood for ${seconds} s, charts full`, flooded);
  } finally {
    await browser.close();
    await host.stop();
  }
}

console.log('\nThe page under a flood of notifications, in headless Chromium');
if (browserPath === undefined) console.log('  not run: there is no Chromium (apt-get install chromium)');
else await main(browserPath);
