import { bug } from '../base/bug.ts';
import { bigFromLe, bigToLe, type Bytes } from '../base/bytes.ts';
import { compare, toDouble, type Rational } from '../base/rational.ts';
import { floatRange } from '../values/check.ts';
import { decode, encode } from '../values/codec.ts';
import { decodeMedfloat, encodeMedfloat } from '../values/medfloat.ts';
import { toCoded, toPhysical } from '../values/physical.ts';
import type { FloatType } from '../values/type.ts';
import type { Sample } from './sample.ts';

/** Both ends of the range and its middle; without a range the ends of the format, and what is no number. */
export function floatSamples(type: FloatType): readonly Sample[] {
  const { range } = type;
  const named = (name: string, code: bigint): Sample => ({ name, bytes: floatBytes(type, code) });
  if (range === undefined) {
    return [
      ...floatEdges[type.format].map(([name, code]) => named(name, code)),
      ...floatSpecials[type.format].map(([name, code]) => named(name, code)),
    ];
  }
  return [
    named('min', nearestCode(type, range.min)),
    named('max', nearestCode(type, range.max)),
    named('mid', nearestCode(type, middle(range.min, range.max))),
  ].filter((sample) => floatInRange(type, sample.bytes));
}

/**
 * Codes of numbers at the ends of each format: 1, its negative, the largest and the smallest magnitude. IEEE 754-2019
 * section 3.4; IEEE 11073-20601 Annex F.
 */
const floatEdges: Readonly<Record<FloatType['format'], readonly (readonly [string, bigint])[]>> = {
  float32: [
    ['zero', 0n],
    ['one', 0x3f80_0000n],
    ['minus-one', 0xbf80_0000n],
    ['largest', 0x7f7f_ffffn],
    ['smallest', 0x0000_0001n],
  ],
  float64: [
    ['zero', 0n],
    ['one', 0x3ff0_0000_0000_0000n],
    ['minus-one', 0xbff0_0000_0000_0000n],
    ['largest', 0x7fef_ffff_ffff_ffffn],
    ['smallest', 1n],
  ],
  medfloat16: [
    ['zero', 0n],
    ['one', 0x0001n],
    ['minus-one', 0x0fffn],
    ['largest', 0x77fdn],
    ['smallest', 0x8001n],
    ['two-point-zero', 0xf014n],
  ],
  medfloat32: [
    ['zero', 0n],
    ['one', 0x0000_0001n],
    ['minus-one', 0x00ff_ffffn],
    ['largest', 0x7f7f_fffdn],
    ['smallest', 0x8000_0001n],
    ['two-point-zero', 0xff00_0014n],
  ],
};

/** Codes that are no numbers. The same sources. */
export const floatSpecials: Readonly<Record<FloatType['format'], readonly (readonly [string, bigint])[]>> = {
  float32: [
    ['not-a-number', 0x7fc0_0000n],
    ['plus-infinity', 0x7f80_0000n],
    ['minus-infinity', 0xff80_0000n],
  ],
  float64: [
    ['not-a-number', 0x7ff8_0000_0000_0000n],
    ['plus-infinity', 0x7ff0_0000_0000_0000n],
    ['minus-infinity', 0xfff0_0000_0000_0000n],
  ],
  medfloat16: [
    ['not-a-number', 0x07ffn],
    ['plus-infinity', 0x07fen],
    ['minus-infinity', 0x0802n],
  ],
  medfloat32: [
    ['not-a-number', 0x007f_ffffn],
    ['plus-infinity', 0x007f_fffen],
    ['minus-infinity', 0x0080_0002n],
  ],
};

/** The code, least significant octet first. */
export function floatBytes(type: FloatType, code: bigint): Bytes {
  return bigToLe(code, { float32: 4, float64: 8, medfloat16: 2, medfloat32: 4 }[type.format]);
}

/** True when the octets are a number within the range; compared exactly. */
export function floatInRange(type: FloatType, bytes: Bytes): boolean {
  const value = floatNumber(type, bytes);
  if (value === undefined) return false;
  const range = floatRange(type);
  return range === undefined || (compare(value, range.min) >= 0 && compare(value, range.max) <= 0);
}

/** The next larger (`direction` 1) or smaller (-1) number of the format; `undefined` at its end. */
export function nextFloat(type: FloatType, bytes: Bytes, direction: 1 | -1): Bytes | undefined {
  const code = bigFromLe(bytes);
  if (type.format === 'medfloat16' || type.format === 'medfloat32') {
    const number = decodeMedfloat(type.format, Number(code));
    if (number?.kind !== 'number') return undefined;
    const next = encodeMedfloat(type.format, { ...number, mantissa: number.mantissa + direction });
    return next === undefined ? undefined : floatBytes(type, BigInt(next));
  }
  // IEEE codes of one sign are in the order of their numbers; those of negative numbers in the opposite one.
  const sign = 1n << BigInt(8 * bytes.length - 1);
  const magnitude = code & (sign - 1n);
  const signed = (code & sign) === 0n ? magnitude : -magnitude;
  const next = signed + BigInt(direction);
  const stepped = floatBytes(type, next < 0n ? sign | -next : next);
  return floatNumber(type, stepped) === undefined ? undefined : stepped;
}

function floatNumber(type: FloatType, bytes: Bytes): Rational | undefined {
  const coded = decode(type, bytes);
  if (!coded.ok) return undefined;
  const physical = toPhysical(type, coded.value);
  return physical.kind === 'number' ? physical.value : undefined;
}

function nearestCode(type: FloatType, value: Rational): bigint {
  const coded = toCoded(type, { kind: 'number', value });
  if (!coded.ok) return 0n;
  const bytes = encode(type, coded.value.coded);
  bug(bytes.ok, 'the nearest number of a format can be encoded');
  return bigFromLe(bytes.value);
}

/** Near enough to the middle; exact where the ends are small integers. */
function middle(min: Rational, max: Rational): Rational {
  const whole = BigInt(Math.trunc((toDouble(min) + toDouble(max)) / 2));
  const rounded = { num: whole, den: 1n };
  if (compare(rounded, min) >= 0 && compare(rounded, max) <= 0) return rounded;
  return { num: min.num * max.den + max.num * min.den, den: 2n * min.den * max.den };
}
