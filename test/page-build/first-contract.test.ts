import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { describe, expect, it } from 'vitest';
import { firstContract } from '../../scripts/page/first-contract.ts';
import { planOf, type BoardPlan } from '../../src/page/worker/board-plan.ts';
import { check } from '../../src/table/check.ts';

const file = fileURLToPath(new URL('../../examples/wave-tank/contract.yaml', import.meta.url));
const text = readFileSync(file, 'utf8');

describe('the first contract as modules', () => {
  it('gives the text, and all that checking gives: bigints, maps and octets included', async () => {
    expect(await moduleOf('first-text')).toMatchObject({ text });
    const { checked } = (await moduleOf('first-checked')) as { readonly checked: unknown };
    expect(checked).toEqual(check(text));
  });

  it('gives a board the same plan, but for the places in the text', async () => {
    const { plan } = (await moduleOf('first-board')) as { readonly plan: BoardPlan };
    const whole = planOf(check(text).value!);
    expect(withoutPlaces(plan)).toEqual(withoutPlaces(whole));
    expect(withoutPlaces(whole)).not.toEqual(whole);
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
  const kept = Object.entries(value).filter(([key]) => !['where', 'at', 'fieldPlaces'].includes(key));
  return Object.fromEntries(kept.map(([key, part]) => [key, withoutPlaces(part)]));
}
