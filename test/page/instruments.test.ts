import { expect, it } from 'vitest';
import { act, airOf, plate, ready, runContract, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

/** Values for the instruments that the wave tank does not have: lamps, octets, bars, a figure, an indicated meter. */
const others = `contract: 1
board: { name: Every other instrument }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: bench
    label: Bench
    characteristics:
      - { id: alarms, label: Alarms, type: { flags: uint8, names: { 0: hot, 1: dry, 5: stuck } }, access: [read, write] }
      - { id: key, label: Key, type: bytes, length: [0, 8], access: [read, write] }
      - { id: gains, label: Gains, type: { array: sint16, count: 4 }, access: [read, write] }
      - { id: ratio, label: Ratio, type: float32, access: [read, write] }
      - { id: pressure, label: Pressure, type: uint16, unit: pascal, access: [read, indicate], notify: { on: change } }
`;

describePage('every instrument', (visit) => {
  it('of the wave tank reads or writes', async () => {
    const page = await visit();
    await ready(page);
    // Counter.
    await act(page, 'crests', 'Read').click();
    await expect.poll(() => airOf(page, 'crests').innerText()).toContain('read');
    // Meter.
    await act(page, 'level', 'Read').click();
    await expect.poll(() => airOf(page, 'level').innerText()).toContain('read');
    // Switch.
    const light = plate(page, 'light').getByRole('switch');
    await light.click();
    await expect.poll(() => light.getAttribute('aria-checked')).toBe('true');
    await page.getByText('lamp on').waitFor();
    // Segmented choice, in the tank too.
    const dye = plate(page, 'dye').getByRole('radio', { name: 'rhodamine' });
    await dye.click();
    await expect.poll(() => dye.getAttribute('aria-checked')).toBe('true');
    await expect.poll(() => plate(page, 'rig').innerText()).toContain('rhodamine');
    // Text line, and the display that shows it.
    await plate(page, 'caption').getByRole('textbox').fill('Größe 4 Hz 🌊');
    await plate(page, 'caption').getByRole('textbox').press('Enter');
    await expect.poll(() => plate(page, 'rig').innerText()).toContain('Größe 4 Hz 🌊');
    // Form, on an encrypted link.
    await page.locator('.link-acts').getByRole('button', { name: 'Encrypt' }).click();
    await page.locator('.link-words', { hasText: 'encrypted' }).waitFor();
    await plate(page, 'calibration').getByRole('textbox').nth(2).fill('7');
    await act(page, 'calibration', 'Write').click();
    await expect.poll(() => truthOf(page, 'calibration').innerText()).toContain('7');
  });

  it('of other types does too', async () => {
    const page = await visit();
    await ready(page);
    await runContract(page, 'others.yaml', others);
    for (const id of ['alarms', 'key', 'gains', 'ratio', 'pressure']) {
      await act(page, id, 'Read').click();
      await expect.poll(() => airOf(page, id).innerText()).toContain('read');
    }
    await act(page, 'pressure', 'Subscribe').click();
    await act(page, 'pressure', 'Unsubscribe').waitFor();
    // Its world does not move it by itself; the board's console does.
    await page.getByLabel('Line to type on the console').fill('set pressure 1013');
    await page.getByRole('button', { name: 'Type' }).click();
    // Indicated without being read.
    await expect.poll(() => airOf(page, 'pressure').innerText()).not.toContain('read');
  });

  it('has a size for a projector, and comes back from it', async () => {
    const page = await visit({ width: 1920, height: 1080 });
    await ready(page);
    await page.keyboard.press('Alt+p');
    await page.locator('.panel-presentation').waitFor();
    const size = await page
      .locator('.panel-presentation .panel-digits, .panel-presentation .panel-wheels')
      .first()
      .evaluate((element) => Number.parseFloat(getComputedStyle(element).fontSize));
    expect(size).toBeGreaterThanOrEqual(60);
    await page.keyboard.press('Escape');
    await page.locator('.panel-presentation').waitFor({ state: 'detached' });
  });
});
