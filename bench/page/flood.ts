import type { CDPSession, Page } from 'playwright-core';

/** A task of the main thread that is felt, milliseconds: W3C Long Tasks API. */
const longTask = 50;
/** Values, and milliseconds between two notifications of one. */
const count = 16;
const period = 7.5;
/** Notifications a second that the contract asks for. */
const asked = (1000 * count) / period;

const flood = `contract: 1
board: { name: Flood }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
radio: { connection: { interval: 7.5 ms, phy: 2M } }
services:
  - id: bench
    label: Bench
    characteristics:
${Array.from({ length: count }, (_, i) => `      - { id: v${i}, label: Value ${i}, type: sint16, scale: { decimal: -2 }, unit: metre, range: [-300, 300], access: [read, notify], notify: { on: every ${period} ms, at-most: 134 Hz } }`).join('\n')}
`;

type Counters = { notified: number; boardMs: number; batches: number; tasks: number[] };
type Measured = {
  /** Notifications that the page took a second of the board's clock. */
  readonly rate: number;
  /** Batches that the worker posted a second. */
  readonly batches: number;
  readonly tasks: readonly number[];
  /** Octets of the main thread's heap after a collection: before and after. */
  readonly heaps: readonly [number, number];
};

/** Run in the page before its own scripts: counts what the worker hands over, beside the page's own listeners. */
export function countInPage(): void {
  const counters: Counters = { notified: 0, boardMs: 0, batches: 0, tasks: [] };
  Object.assign(globalThis, { counters });
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) counters.tasks.push(Math.round(duration));
  }).observe({ entryTypes: ['longtask'] });
  type Message = { readonly batch?: { readonly boardMs: number; readonly air: readonly { readonly how: string }[] } };
  const Plain = Worker;
  globalThis.Worker = class extends Plain {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      this.addEventListener('message', ({ data: { batch } }: MessageEvent<Message>) => {
        if (batch === undefined) return;
        counters.notified += batch.air.filter(({ how }) => how === 'notified').length;
        counters.boardMs = batch.boardMs;
        counters.batches += 1;
      });
    }
  };
}

/** The page with the wave tank's own traffic, then with the flood, each printed. Needs `countInPage`. */
export async function benchFlood(page: Page, url: string, seconds: number): Promise<void> {
  const session = await page.context().newCDPSession(page);
  await page.goto(url);
  await subscribeToAll(page);
  await page.waitForTimeout(2000);
  tell('wave tank, all subscribed', await measure(page, session, Math.min(15, seconds)));

  await page.evaluate((text) => {
    const data = new DataTransfer();
    data.items.add(new File([text], 'flood.yaml'));
    document.body.dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: data }));
  }, flood);
  await page.locator('.shell-file-name', { hasText: 'flood' }).waitFor();
  await page.getByRole('button', { name: 'Restart board' }).click();
  await page.locator('.link-board-name', { hasText: 'Flood' }).waitFor();
  await subscribeToAll(page);
  // The charts are full after 30 s; from then on the heap must be flat.
  await page.waitForTimeout(Math.min(32, seconds) * 1000);
  const shown = await packetsShown(page);
  const flooded = await measure(page, session, seconds);
  tell(`flood of ${asked.toFixed(0)}/s for ${seconds} s, charts full`, flooded);
  const more = (await packetsShown(page)) - shown;
  console.log(`  ${' '.repeat(38)} the page's own count of packets grew by ${more} meanwhile`);
}

async function subscribeToAll(page: Page): Promise<void> {
  await page.locator('.link-connected').waitFor();
  const button = page.getByRole('button', { name: 'Subscribe to all' });
  await button.click();
  await button.waitFor({ state: 'detached' });
}

/** What the page itself says of how many packets have crossed. */
async function packetsShown(page: Page): Promise<number> {
  const button = page.getByRole('button', { name: 'Packets', exact: true });
  await button.click();
  const text = await page.locator('.packets-count').innerText();
  await button.click();
  return Number(/\d+/.exec(text)?.[0] ?? Number.NaN);
}

async function measure(page: Page, session: CDPSession, length: number): Promise<Measured> {
  const heapOf = async (): Promise<number> => {
    await session.send('HeapProfiler.collectGarbage');
    return (await session.send('Runtime.getHeapUsage')).usedSize;
  };
  const take = (): Promise<Counters> =>
    page.evaluate(() => {
      const { counters } = globalThis as unknown as { counters: Counters };
      const copy = { ...counters };
      Object.assign(counters, { notified: 0, batches: 0, tasks: [] });
      return copy;
    });
  const first = await heapOf();
  // Collecting the garbage was a long task of ours.
  const { boardMs } = await take();
  await page.waitForTimeout(length * 1000);
  const end = await take();
  const elapsed = (end.boardMs - boardMs) / 1000;
  return {
    rate: end.notified / elapsed,
    batches: end.batches / elapsed,
    tasks: end.tasks,
    heaps: [first, await heapOf()],
  };
}

function tell(name: string, { rate, batches, tasks, heaps }: Measured): void {
  const long = tasks.filter((task) => task > longTask);
  const [first, last] = heaps.map((octets) => (octets / 1e6).toFixed(1));
  console.log(
    `  ${name.padEnd(38)} ${rate.toFixed(0).padStart(5)} notifications/s in ${batches.toFixed(0)} batches/s; ` +
      `${long.length} tasks over ${longTask} ms (longest ${Math.max(0, ...tasks)} ms); heap ${first} to ${last} MB`,
  );
}
