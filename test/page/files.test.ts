import { expect, it } from 'vitest';
import { contentOf } from './support/browser.ts';
import { dropFile, ready, runContract } from './support/panel.ts';
import { describePage } from './support/suite.ts';

const small = (name: string): string => `contract: 1
board: { name: ${name} }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: bench
    label: Bench
    characteristics:
      - { id: count, label: Count, type: uint16, access: [read] }
`;

/** As in a browser without the pickers of the File System Access API: their windows cannot be driven from here. */
function withoutPickers(): void {
  for (const name of ['showOpenFilePicker', 'showSaveFilePicker']) {
    Object.defineProperty(window, name, { value: undefined });
  }
}

describePage('files', (visit) => {
  it('opens a file, runs it, saves it', async () => {
    const page = await visit({ before: withoutPickers });
    await ready(page);
    const [chooser] = await Promise.all([
      page.waitForEvent('filechooser'),
      page.getByRole('button', { name: 'Open', exact: true }).first().click(),
    ]);
    await chooser.setFiles({ name: 'mine.yaml', mimeType: 'text/yaml', buffer: Buffer.from(small('Mine')) });
    await page.getByText('mine.yaml').waitFor();
    await page.getByRole('button', { name: 'Restart board' }).click();
    await page.locator('.link-board-name', { hasText: 'Mine' }).waitFor();
    const [file] = await Promise.all([page.waitForEvent('download'), page.keyboard.press('Control+s')]);
    expect(file.suggestedFilename()).toBe('mine.yaml');
    expect(await contentOf(file)).toBe(small('Mine'));
  });

  it('takes a dropped file, and refuses what is no contract without touching the work', async () => {
    const page = await visit();
    await ready(page);
    await dropFile(page, 'photo.jpg', new Uint8Array([0xff, 0xd8, 0xff, 0xe0]));
    await page.getByText('“photo.jpg” is no UTF-8 text').waitFor();
    await dropFile(page, 'large.yaml', 'x'.repeat(1024 * 1024 + 1));
    await page.getByText('a contract has at most 1 MiB').waitFor();
    expect(await page.locator('.shell-file-name').innerText()).toBe('wave-tank.yaml');
    await runContract(page, 'dropped.yaml', small('Dropped'));
    await page.locator('.link-board-name', { hasText: 'Dropped' }).waitFor();
  });

  it('keeps what was typed over a reload, and asks before it is lost to another file', async () => {
    const page = await visit({ view: 'contract' });
    const text = page.locator('.contract-editor [contenteditable=true], .contract-editor textarea').first();
    await page.locator('.cm-content').waitFor();
    await text.click();
    await page.keyboard.press('Control+Home');
    await page.keyboard.type('# typed by hand\n');
    await page.getByText('unsaved changes, kept in this browser').waitFor();
    await page.waitForTimeout(600);
    await page.reload();
    await page.locator('.cm-content', { hasText: '# typed by hand' }).waitFor();
    await page.getByText('unsaved changes').waitFor();
    await dropFile(page, 'other.yaml', small('Other'));
    const dialog = page.getByRole('dialog');
    await dialog.getByText('has changes that are in no file').waitFor();
    await dialog.getByRole('button', { name: 'Keep editing' }).click();
    expect(await page.locator('.shell-file-name').innerText()).toBe('wave-tank.yaml');
    await dropFile(page, 'other.yaml', small('Other'));
    await dialog.getByRole('button', { name: 'Drop the changes' }).click();
    await page.locator('.shell-file-name', { hasText: 'other.yaml' }).waitFor();
  });

  it('begins with any example', async () => {
    const page = await visit();
    await ready(page);
    for (const name of ['greenhouse', 'telescope', 'seismograph', 'dimmer']) {
      await page.getByRole('button', { name: 'More' }).click();
      await page.locator('.shell-more').getByRole('button', { name }).click();
      await page.locator('.shell-file-name', { hasText: name }).waitFor();
      await page.getByRole('button', { name: 'Restart board' }).click();
      await page.getByRole('button', { name: 'Restart board' }).waitFor({ state: 'detached' });
      await ready(page);
    }
  });
});
