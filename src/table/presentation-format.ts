import { concat, u16le, u8, type Bytes } from '../base/bytes.ts';
import { bug } from '../base/bug.ts';
import { formatByName } from '../numbers/formats.ts';
import type { ValueType } from '../values/type.ts';

const unitless = 0x2700;
/** Name space 1 is the Bluetooth SIG's, description 0 is "unknown". Core Vol 3 Part G 3.3.3.5.5. */
const noDescription = [1, 0, 0];

/**
 * The value of a Characteristic Presentation Format descriptor: format, exponent, unit, name space, description; 7 octets.
 * Core Vol 3 Part G 3.3.3.5. What has more than one number (struct, array) and plain octets are "opaque structures" to the
 * standard.
 *
 * @returns `undefined` for what the descriptor cannot say: a multiplier, a binary exponent, a format without a code
 */
export function presentationFormat(type: ValueType): Bytes | undefined {
  switch (type.kind) {
    case 'boolean':
      return format('boolean');
    case 'integer': {
      const { multiplier, decimal, binary } = type.scale;
      // The exponent is a sint8 and counts powers of ten only.
      if (multiplier !== 1 || binary !== 0 || decimal < -128 || decimal > 127) return undefined;
      return format(`${type.signed ? 'sint' : 'uint'}${type.bits}`, decimal, type.unit);
    }
    case 'float':
      return format(type.format, 0, type.unit);
    case 'text':
      return format(type.encoding);
    case 'enum':
    case 'flags':
      return format(`uint${type.bits}`);
    case 'bytes':
    case 'struct':
    case 'array':
      return format('struct');
  }
}

/** The descriptor's fields read back; `undefined` unless it has 7 octets. */
export function readPresentationFormat(
  bytes: Bytes,
): { readonly format: number; readonly exponent: number; readonly unit: number } | undefined {
  if (bytes.length !== 7) return undefined;
  const [code = 0, exponent = 0, unitLow = 0, unitHigh = 0] = bytes;
  return { format: code, exponent: (exponent << 24) >> 24, unit: unitLow | (unitHigh << 8) };
}

function format(name: string, exponent = 0, unit = unitless): Bytes | undefined {
  const assigned = formatByName(name);
  bug(assigned !== undefined || /^[us]int40$/.test(name), `no format code for ${name}`);
  return assigned === undefined ? undefined : concat(u8(assigned.code), u8(exponent), u16le(unit), noDescription);
}
