import { parseRational, roundToBinary, toDouble, type Rational } from '../base/rational.ts';

/** IEEE 754 binary32 and binary64. */
export type BinaryFormat = 'float32' | 'float64';

/** (2 - 2^-23) * 2^127, IEEE 754 table 3.5. */
const largestFloat32 = 3.4028234663852886e38;

/** The nearest number of the format, half to even; `undefined` when that is beyond its largest number. */
export function nearestFloat(format: BinaryFormat, value: Rational): number | undefined {
  const nearest = format === 'float32' ? roundToBinary(value, 24, -149) : toDouble(value);
  return Math.abs(nearest) <= (format === 'float32' ? largestFloat32 : Number.MAX_VALUE) ? nearest : undefined;
}

/** True for numbers that the format holds exactly, and for NaN and the infinities. */
export function isOfFormat(format: BinaryFormat, value: number): boolean {
  return format === 'float64' || Number.isNaN(value) || Math.fround(value) === value;
}

/** The octets of a float, least significant first. NaN is written as a quiet one with sign and payload 0. */
export function floatToLe(format: BinaryFormat, value: number): Uint8Array {
  const bytes = new Uint8Array(format === 'float32' ? 4 : 8);
  const view = new DataView(bytes.buffer);
  if (format === 'float32') view.setFloat32(0, value, true);
  else view.setFloat64(0, value, true);
  return bytes;
}

/** @param bytes 4 or 8 octets by the format */
export function floatFromLe(format: BinaryFormat, bytes: Uint8Array): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  return format === 'float32' ? view.getFloat32(0, true) : view.getFloat64(0, true);
}

/**
 * The shortest decimal that the format rounds back to the same number: a float32 of 0.1 is `0.1`. -0 is `0`.
 *
 * @param value finite, of the format
 */
export function shortestDecimal(format: BinaryFormat, value: number): string {
  if (format === 'float64' || value === 0) return String(value);
  for (let digits = 1; digits < 9; digits++) {
    const text = String(Number(value.toPrecision(digits)));
    const read = parseRational(text);
    if (read !== undefined && nearestFloat(format, read) === value) return text;
  }
  return String(Number(value.toPrecision(9)));
}
