import { readFileSync } from 'node:fs';
import type { Plugin } from 'vite';
import { bug } from '../../src/base/bug.ts';
import { toHex } from '../../src/base/bytes.ts';
import { planOf } from '../../src/page/worker/board-plan.ts';
import { check } from '../../src/table/check.ts';

/**
 * Gives the page its first contract already checked: the board of a first visit then starts before the checker is there,
 * and a visitor who only looks never loads it. Three modules, each as small as what it is for allows:
 * `virtual:first-text`, the text; `virtual:first-board`, what a board needs of it, without places in the text;
 * `virtual:first-checked`, all that checking gives.
 *
 * @param file the contract, which must have no errors
 */
export function firstContract(file: string): Plugin {
  const modules = new Map<string, () => string>([
    // Not a plain constant: the bundler would write it out wherever it is used.
    ['virtual:first-text', () => `export const text = String(${literal(readFileSync(file, 'utf8'))});\n`],
    [
      'virtual:first-board',
      () => {
        const { value } = check(readFileSync(file, 'utf8'));
        bug(value !== undefined, `${file} has errors`);
        return `${octets}${standInValues}export const plan = ${literal(planOf(value), withoutPlaces)};\n`;
      },
    ],
    ['virtual:first-checked', () => `${octets}export const checked = ${literal(check(readFileSync(file, 'utf8')))};\n`],
  ]);
  return {
    name: 'first-contract',
    resolveId: (id) => (modules.has(id) ? `\0${id}` : undefined),
    load(id) {
      const make = modules.get(id.slice(1));
      if (make === undefined) return undefined;
      this.addWatchFile(file);
      return make();
    },
  };
}

/** Shorter than lists of numbers. */
const octets = 'const octets = (hex) => Uint8Array.from(hex.match(/../g) ?? [], (pair) => parseInt(pair, 16));\n';
const standInValues = `const nowhere = { start: 0, end: 0 };
const nothing = { self: nowhere, keys: new Map() };
`;
const standIns: Readonly<Record<string, string>> = { where: 'nothing', at: 'nowhere', fieldPlaces: 'new Map()' };

/** A board needs none of the places where things were written. */
function withoutPlaces(key: string): string | undefined {
  return standIns[key];
}

/**
 * Plain data as an expression of JavaScript: what structured cloning keeps, this keeps.
 *
 * @param instead what stands for the value of a key, where it is not the value itself
 */
function literal(value: unknown, instead: (key: string) => string | undefined = () => undefined): string {
  const part = (inner: unknown): string => literal(inner, instead);
  if (typeof value === 'bigint') return `${value}n`;
  if (value === undefined) return 'undefined';
  if (value instanceof Uint8Array) return `octets("${toHex(value)}")`;
  if (value instanceof Map) return `new Map(${part([...value])})`;
  if (value instanceof Set) return `new Set(${part([...value])})`;
  if (Array.isArray(value)) return `[${value.map(part).join(',')}]`;
  if (typeof value === 'object' && value !== null) {
    bug(Object.getPrototypeOf(value) === Object.prototype, 'only plain data can be written down');
    // What is not there reads as `undefined` too.
    return `{${Object.entries(value)
      .filter(([, inner]) => inner !== undefined)
      .map(([key, inner]) => `${JSON.stringify(key)}:${instead(key) ?? part(inner)}`)
      .join(',')}}`;
  }
  bug(typeof value !== 'function' && typeof value !== 'symbol', 'only plain data can be written down');
  return JSON.stringify(value);
}
