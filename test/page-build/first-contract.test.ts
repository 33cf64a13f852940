import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { expect, it } from 'vitest';
import { firstContract } from '../../scripts/page/first-contract.ts';
import { check } from '../../src/table/check.ts';

it('writes the checked contract down as a module that gives it back, bigints, maps and octets included', async () => {
  const file = fileURLToPath(new URL('../../examples/wave-tank/contract.yaml', import.meta.url));
  const source = load(firstContract(file), '\0virtual:first-contract');
  const module = (await import(`data:text/javascript;base64,${Buffer.from(source).toString('base64')}`)) as unknown;
  const text = readFileSync(file, 'utf8');
  expect(module).toMatchObject({ text, checked: check(text) });
});

/** Calls the plugin as the bundler does. */
function load(plugin: Plugin, id: string): string {
  const hook = plugin.load as (this: { addWatchFile(file: string): void }, id: string) => string;
  return hook.call({ addWatchFile: () => undefined }, id);
}
