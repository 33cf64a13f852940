import { expect, it } from 'vitest';
import { act, airOf, plate, ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

describePage('the first minute', (visit) => {
  it('opens with the wave tank alive and nothing to configure', async () => {
    const page = await visit();
    await ready(page);
    expect(await page.title()).toContain('wave-tank');
    // The crests are counted: the board holds more and more of them.
    const crests = truthOf(page, 'crests').locator('.panel-side-value');
    const before = await crests.innerText();
    await expect.poll(() => crests.innerText(), { timeout: 20_000 }).not.toBe(before);
  });

  it('turns the paddle: truth and air say so, and the tank follows', async () => {
    const page = await visit();
    await ready(page);
    const dial = plate(page, 'paddle').getByRole('slider');
    await dial.press('End');
    // Entered, not written: the board holds what it held.
    await expect
      .poll(() => dial.getAttribute('aria-valuetext'))
      .toBe('4.00 Hz, not written yet; the board holds 0.50 Hz');
    await act(page, 'paddle', 'Write').click();
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toContain('4.00 Hz');
    await expect.poll(() => airOf(page, 'paddle').innerText()).toMatch(/4\.00 Hz[^]*written/);
    await page.getByText('paddle at 4.00 Hz').waitFor();
  });

  it('is turned with the pointer', async () => {
    const page = await visit();
    await ready(page);
    const dial = plate(page, 'paddle').getByRole('slider');
    const box = (await dial.boundingBox())!;
    await page.mouse.click(box.x + box.width / 2, box.y + 12);
    // Half way up a scale of 0 to 4 Hz.
    await expect.poll(async () => Number(await dial.getAttribute('aria-valuenow'))).toBeCloseTo(2, 0);
  });

  it('draws the level that is notified', async () => {
    const page = await visit();
    await ready(page);
    const first = await page.evaluate(inkOf, 'level');
    await act(page, 'level', 'Subscribe').click();
    await act(page, 'level', 'Unsubscribe').waitFor();
    await expect.poll(() => airOf(page, 'level').innerText()).toContain('notified');
    await expect.poll(() => page.evaluate(inkOf, 'level'), { timeout: 20_000 }).not.toBe(first);
  });
});

/** A number made from all pixels of a plate's chart. */
function inkOf(id: string): number {
  const canvas = document.querySelector<HTMLCanvasElement>(`[data-value="${id}"] canvas`);
  const ctx = canvas?.getContext('2d');
  if (canvas === null || ctx === null || ctx === undefined) return -1;
  const { data } = ctx.getImageData(0, 0, canvas.width, canvas.height);
  return data.reduce((sum, value, i) => (sum * 31 + value * i) % 1_000_003, 7);
}
