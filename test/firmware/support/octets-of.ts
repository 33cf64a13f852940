import fc from 'fast-check';
import type { Bytes } from '../../../src/base/bytes.ts';
import { encode, lengthRange } from '../../../src/values/codec.ts';
import type { ValueType } from '../../../src/values/type.ts';
import { arbitraryCoded } from '../../support/arbitrary-type.ts';

/** Texts that are none: overlong, a surrogate, too high, cut; half a pair of UTF-16. */
const hostileTexts = ['c080', 'eda080', 'f4908080', '61c3', '3dd86100', '61003dd8', '00de3dd8'].map((hex) =>
  Uint8Array.from(Buffer.from(hex, 'hex')),
);

/** Values that the type can hold, such values with one octet changed, and any octets of about that length. */
export function octetsOf(type: ValueType): fc.Arbitrary<Bytes> {
  const { min, max } = lengthRange(type);
  const held = arbitraryCoded(type).map((coded) => {
    const encoded = encode(type, coded);
    return encoded.ok ? encoded.value : new Uint8Array(min);
  });
  const changed = fc.tuple(held, fc.nat(), fc.nat(255)).map(([value, at, octet]) => {
    return value.map((own, i) => (i === at % value.length ? octet : own));
  });
  return fc.oneof(
    { weight: 3, arbitrary: held },
    { weight: 3, arbitrary: changed },
    { weight: 1, arbitrary: fc.uint8Array({ minLength: min, maxLength: Math.min(max, min + 20) }) },
    { weight: 1, arbitrary: fc.uint8Array({ maxLength: Math.min(max + 2, 40) }) },
    { weight: type.kind === 'text' ? 1 : 0, arbitrary: fc.constantFrom(...hostileTexts) },
  );
}
