import { exactNumber } from '../values/show-number.ts';
import { toDouble, type Rational } from '../base/rational.ts';
import { unitSymbol } from '../numbers/units.ts';
import type { Budget } from './budget.ts';

/** A value of JSON. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** Why a figure is not there, by the end of its path; the first that fits. */
const reasons: readonly (readonly [RegExp, string])[] = [
  [/^delay\..*\.halfWidth$/, 'there is no run with enough messages'],
  [/^delay\./, 'a packet does not fit the connection interval, or no message arrived'],
  [/^room\.joined\./, 'fewer boards than that were connected within the ten minutes of the run'],
  [/^found\..*\.(mean|p95|p999|median|run|closed|difference)/, 'no advertising packet ever falls into a window'],
  [/halfWidth$/, 'the run has no chance in it'],
  [/^energy\./, 'nothing draws any current'],
];

/**
 * A budget as JSON: no NaN, no Infinity, no number that JSON cannot hold. A figure that is not known is `null`, and
 * `unknown` says where and why. Exact fractions become `{ exact, value }`; integers beyond 2^53 are in quotes.
 */
export function budgetJson(budget: Budget): { readonly [key: string]: Json } {
  const unknown: { readonly at: string; readonly because: string }[] = [];
  const convert = (value: unknown, path: string): Json => {
    if (value === undefined || value === null) return null;
    if (typeof value === 'number') {
      if (Number.isFinite(value)) return value;
      unknown.push({ at: path, because: reasonFor(path) });
      return null;
    }
    if (typeof value === 'bigint') return value.toString();
    if (typeof value === 'string' || typeof value === 'boolean') return value;
    if (Array.isArray(value)) return value.map((each, i) => convert(each, `${path}[${i}]`));
    if (isRational(value)) return { exact: exactNumber(value), value: toDouble(value) };
    const object: Record<string, Json> = {};
    for (const [key, each] of Object.entries(value)) {
      const at = path === '' ? key : `${path}.${key}`;
      if (each === undefined) continue;
      object[key] = key === 'unit' && typeof each === 'number' ? unitSymbol(each) : convert(each, at);
    }
    return object;
  };
  const converted = convert(budget, '') as { readonly [key: string]: Json };
  return { ...converted, unknown };
}

function reasonFor(path: string): string {
  return reasons.find(([pattern]) => pattern.test(path))?.[1] ?? 'it is not known with these parameters';
}

function isRational(value: object): value is Rational {
  return 'num' in value && 'den' in value && typeof value.num === 'bigint' && typeof value.den === 'bigint';
}
