import type { Locator, Page } from 'playwright-core';

/** The plate of a value, by its id in the contract; `rig` is the window on the world. */
export function plate(page: Page, id: string): Locator {
  return page.locator(`[data-value="${id}"]`);
}

/** What the board holds of a value, as its plate says. */
export function truthOf(page: Page, id: string): Locator {
  return plate(page, id).locator('.panel-side').nth(0);
}

/** What crossed last, as the plate says. */
export function airOf(page: Page, id: string): Locator {
  return plate(page, id).locator('.panel-side').nth(1);
}

/** A button of a value's plate. */
export function act(page: Page, id: string, name: string): Locator {
  return plate(page, id).getByRole('button', { name, exact: true });
}

/** Waits until the board runs, the page is connected to it, and its plates stand. */
export async function ready(page: Page): Promise<void> {
  await page.locator('.link-connected').waitFor();
  await page.locator('.panel-plate').first().waitFor();
}

/** Drops a file on the page, as from a file manager. */
export async function dropFile(page: Page, name: string, content: string | Uint8Array): Promise<void> {
  const part = typeof content === 'string' ? content : [...content];
  await page.evaluate(
    ([name, part]) => {
      const data = new DataTransfer();
      data.items.add(new File([typeof part === 'string' ? part : new Uint8Array(part)], name));
      for (const type of ['dragenter', 'dragover', 'drop']) {
        document.body.dispatchEvent(new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }));
      }
    },
    [name, part] as const,
  );
}

/** Drops a contract and restarts the board with it. */
export async function runContract(page: Page, name: string, text: string): Promise<void> {
  await dropFile(page, name, text);
  await page.locator('.shell-file-name', { hasText: name }).waitFor();
  await page.getByRole('button', { name: 'Restart board' }).click();
  await page.getByRole('button', { name: 'Restart board' }).waitFor({ state: 'detached' });
  await ready(page);
}
