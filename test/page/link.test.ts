import { expect, it } from 'vitest';
import { act, airOf, plate, ready, truthOf } from './support/panel.ts';
import { describePage } from './support/suite.ts';

describePage('refusals and the link', (visit) => {
  it('says in words why a write was refused, and leaves the old value', async () => {
    const page = await visit();
    await ready(page);
    const field = plate(page, 'paddle').getByRole('textbox');
    await field.fill('5');
    await act(page, 'paddle', 'Write').click();
    const outcome = plate(page, 'paddle').locator('.panel-refused');
    await expect.poll(() => outcome.innerText()).toContain('The board refused 5 Hz: allowed 0 to 4 Hz');
    // The ATT error stands behind it: Core Vol 3 Part F table 3.4, Out of Range (CSS Part B 1.2).
    expect(await outcome.innerText()).toContain('0xFF');
    expect(await truthOf(page, 'paddle').innerText()).toContain('0.50 Hz');
  });

  it('does not send what cannot be coded, and says why', async () => {
    const page = await visit();
    await ready(page);
    await plate(page, 'paddle').getByRole('textbox').fill('fast');
    await act(page, 'paddle', 'Write').click();
    await plate(page, 'paddle').getByText('Cannot be sent').waitFor();
    expect(await airOf(page, 'paddle').innerText()).not.toContain('written');
  });

  it('asks for encryption where the contract does', async () => {
    const page = await visit();
    await ready(page);
    await act(page, 'calibration', 'Read').click();
    const refused = plate(page, 'calibration').locator('.panel-refused');
    await refused.getByText('encrypt').first().waitFor();
    await refused.getByRole('button', { name: 'Encrypt' }).click();
    await page.locator('.link-words', { hasText: 'encrypted' }).waitFor();
    await act(page, 'calibration', 'Read').click();
    await expect.poll(() => airOf(page, 'calibration').innerText()).toContain('read');
  });

  it('loses the link: the failsafe stops the paddle, and the page connects again', async () => {
    const page = await visit();
    await ready(page);
    await act(page, 'level', 'Subscribe').click();
    await act(page, 'level', 'Unsubscribe').waitFor();
    await page.getByRole('button', { name: 'Drop link' }).click();
    await page.locator('.link-lost').waitFor();
    await page.locator('.link-words', { hasText: 'the board notices in' }).waitFor();
    // Nothing can be written without a link.
    expect(await act(page, 'paddle', 'Write').isDisabled()).toBe(true);
    // 4 s until the board notices, then 2 s until the contract's failsafe value.
    await expect.poll(() => truthOf(page, 'paddle').innerText(), { timeout: 20_000 }).toContain('0.00 Hz');
    await expect.poll(() => truthOf(page, 'paddle').innerText()).toContain('failsafe');
    await page.getByRole('button', { name: /^(Connect|Reconnect)$/ }).click();
    await ready(page);
    // A new connection of a client that is not bonded has no subscriptions (Core Vol 3 Part G 3.3.3.3).
    await act(page, 'level', 'Subscribe').waitFor();
  });

  it('agrees on an MTU once in a connection, and says so', async () => {
    const page = await visit();
    await ready(page);
    const field = page.getByLabel('MTU', { exact: true });
    await field.fill('64');
    await field.press('Enter');
    await page.getByText('An MTU is agreed once in a connection').waitFor();
    await page.getByRole('button', { name: 'Disconnect' }).click();
    await page.getByRole('button', { name: 'Connect', exact: true }).click();
    await page.locator('.link-words', { hasText: 'MTU 64' }).waitFor();
  });
});
