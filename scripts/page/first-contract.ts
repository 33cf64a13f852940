import { readFileSync } from 'node:fs';
import type { Plugin } from 'vite';
import { bug } from '../../src/base/bug.ts';
import { check } from '../../src/table/check.ts';

const moduleName = 'virtual:first-contract';

/**
 * Gives the page its first contract already checked, as the module `virtual:first-contract`: the board of a first visit
 * then starts before the checker is there, and a visitor who only looks never loads it.
 *
 * @param file the contract, which must have no errors
 */
export function firstContract(file: string): Plugin {
  return {
    name: 'first-contract',
    resolveId: (id) => (id === moduleName ? `\0${moduleName}` : undefined),
    load(id) {
      if (id !== `\0${moduleName}`) return undefined;
      this.addWatchFile(file);
      const text = readFileSync(file, 'utf8');
      const checked = check(text);
      bug(checked.value !== undefined, `${file} has errors`);
      return `export const text = ${literal(text)};\nexport const checked = ${literal(checked)};\n`;
    },
  };
}

/** Plain data as an expression of JavaScript: what structured cloning keeps, this keeps. */
function literal(value: unknown): string {
  if (typeof value === 'bigint') return `${value}n`;
  if (value === undefined) return 'undefined';
  if (value instanceof Uint8Array) return `new Uint8Array([${value.join(',')}])`;
  if (value instanceof Map) return `new Map(${literal([...value])})`;
  if (value instanceof Set) return `new Set(${literal([...value])})`;
  if (Array.isArray(value)) return `[${value.map(literal).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    bug(Object.getPrototypeOf(value) === Object.prototype, 'only plain data can be written down');
    return `{${Object.entries(value)
      .map(([key, part]) => `${JSON.stringify(key)}:${literal(part)}`)
      .join(',')}}`;
  }
  bug(typeof value !== 'function' && typeof value !== 'symbol', 'only plain data can be written down');
  return JSON.stringify(value);
}
