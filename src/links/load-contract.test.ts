import { mkdirSync, mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { largestFile, loadContract } from './load-contract.ts';

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

function write(name: string, text = 'contract: 1\n'): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

async function text(where: string): Promise<string> {
  const loaded = await loadContract(where);
  return loaded.ok ? new TextDecoder().decode(loaded.value.bytes) : `not loaded: ${loaded.message}`;
}

async function refusal(where: string): Promise<{ readonly message: string; readonly hint: string }> {
  const loaded = await loadContract(where);
  if (loaded.ok) throw new Error('it was loaded');
  return { message: loaded.message.replaceAll(folder, '…'), hint: loaded.hint.replaceAll(folder, '…') };
}

describe('a contract', () => {
  it('is read from its file, whatever that is called', async () => {
    expect(await text(write('tank.yaml', 'contract: 1 # tank\n'))).toBe('contract: 1 # tank\n');
  });

  it.each(['contract.yaml', 'contract.yml'])('is read from a folder that holds %s', async (name) => {
    const path = write(name);
    write('rig.ts');
    const loaded = await loadContract(folder);
    expect(loaded).toMatchObject({ ok: true, value: { name: path, path } });
  });

  it('may be empty, or no UTF-8: that is for the parser to say', async () => {
    expect(await text(write('empty.yaml', ''))).toBe('');
    const path = join(folder, 'latin.yaml');
    writeFileSync(path, Uint8Array.of(0xff, 0xfe));
    expect(await loadContract(path)).toMatchObject({ ok: true, value: { bytes: Uint8Array.of(0xff, 0xfe) } });
  });

  it('is not there', async () => {
    expect(await refusal(join(folder, 'tank.yaml'))).toEqual({
      message: '`…/tank.yaml` is not there',
      hint: 'check the name and the folder you are in',
    });
    write('file');
    expect((await refusal(join(folder, 'file', 'tank.yaml'))).message).toContain('lies below something');
  });

  it('is missing in a folder', async () => {
    expect(await refusal(folder)).toEqual({
      message: '`…` is a folder without `contract.yaml`',
      hint: 'name a contract file, or begin one with `gattwright new`',
    });
    write('tank.yaml');
    expect((await refusal(folder)).hint).toBe('did you mean `…/tank.yaml`?');
  });

  it('is there twice', async () => {
    write('contract.yaml');
    write('contract.yml');
    expect(await refusal(folder)).toEqual({
      message: '`…` holds `contract.yaml` and `contract.yml`, and only one can be its contract',
      hint: 'name the file itself, or remove the other',
    });
  });

  it('is a folder itself', async () => {
    mkdirSync(join(folder, 'contract.yaml'));
    expect((await refusal(folder)).message).toBe('`…/contract.yaml` is a folder');
  });

  it('is not read when it is too large', async () => {
    const path = write('big.yaml');
    truncateSync(path, largestFile);
    expect((await loadContract(path)).ok).toBe(true);
    truncateSync(path, largestFile + 1);
    expect((await refusal(path)).message).toBe('`…/big.yaml` has 65 MiB, but a contract has at most 1 MiB');
    // Sparse: reading it all would take the machine's memory.
    truncateSync(path, 64 * 1024 ** 3);
    expect((await refusal(path)).message).toBe('`…/big.yaml` has 65536 MiB, but a contract has at most 1 MiB');
  });

  it('is given up when it never ends', async () => {
    expect((await refusal('/dev/zero')).message).toMatch(/^`\/dev\/zero` has \d+(\.\d+)? (MiB|octets), but/);
  });
});
