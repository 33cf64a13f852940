import { concat, type Bytes } from '../base/bytes.ts';
import type { Rational } from '../base/rational.ts';
import { encode } from '../values/codec.ts';
import { codeFloat } from '../values/float-coding.ts';
import { codedRange } from '../values/scale.ts';
import type { Coded, ValueType } from '../values/type.ts';

/**
 * The value of a Valid Range descriptor: the lowest and the highest value, both inclusive, each coded as the
 * characteristic's value is. GATT Specification Supplement, Valid Range (0x2906).
 *
 * @returns `undefined` for values that are no single number, and where the contract sets no bounds
 */
export function validRange(type: ValueType): Bytes | undefined {
  const bounds = codedBounds(type);
  if (bounds === undefined) return undefined;
  const min = encode(type, bounds[0]);
  const max = encode(type, bounds[1]);
  return min.ok && max.ok ? concat(min.value, max.value) : undefined;
}

function codedBounds(type: ValueType): readonly [Coded, Coded] | undefined {
  if (type.kind === 'integer') {
    if (!type.bounded) return undefined;
    const { min, max } = codedRange(type);
    // A range between two codes allows no value; the contract's lints say so.
    if (min > max) return undefined;
    return [
      { kind: 'integer', value: min },
      { kind: 'integer', value: max },
    ];
  }
  if (type.kind !== 'float' || type.range === undefined) return undefined;
  const code = (bound: Rational): Coded | undefined => codeFloat(type.format, bound);
  const min = code(type.range.min);
  const max = code(type.range.max);
  return min === undefined || max === undefined ? undefined : [min, max];
}
