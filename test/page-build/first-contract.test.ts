import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { describe, expect, it } from 'vitest';
import { firstContract } from '../../scripts/page/first-contract.ts';
import { check, type Compiled } from '../../src/table/check.ts';

const file = fileURLToPath(new URL('../../examples/wave-tank/contract.yaml', import.meta.url));
const text = readFileSync(file, 'utf8');

describe('the first contract as modules', () => {
  it('gives the text, and all that checking gives: bigints, maps and octets included', async () => {
    expect(await moduleOf('first-text')).toMatchObject({ text });
    expect(await moduleOf('first-checked')).toMatchObject({ checked: check(text) });
  });

  it('gives a board the same table, and the same contract but for its places', async () => {
    const { compiled } = (await moduleOf('first-board')) as { readonly compiled: Compiled };
    const { contract, table } = check(text).value!;
    expect(withoutPlaces(compiled.table)).toEqual(withoutPlaces(table));
    expect(withoutPlaces(compiled.contract)).toEqual(withoutPlaces(contract));
    expect(withoutPlaces(contract)).not.toEqual(contract);
  });
});

async function moduleOf(name: string): Promise<unknown> {
  const source = load(firstContract(file), `\0virtual:${name}`);
  return import(`data:text/javascript;base64,${Buffer.from(source).toString('base64')}`);
}

/** Calls the plugin as the bundler does. */
function load(plugin: Plugin, id: string): string {
  const hook = plugin.load as (this: { addWatchFile(file: string): void }, id: string) => string;
  return hook.call({ addWatchFile: () => undefined }, id);
}

function withoutPlaces(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutPlaces);
  if (typeof value !== 'object' || value === null || value instanceof Uint8Array) return value;
  const kept = Object.entries(value).filter(([key]) => key !== 'where' && key !== 'fieldPlaces');
  return Object.fromEntries(kept.map(([key, part]) => [key, withoutPlaces(part)]));
}
