import { multiply, powerOf, rational } from '../../base/rational.ts';
import { unitSymbol } from '../../numbers/units.ts';
import { typeName } from '../../values/show.ts';
import { exactNumber, withUnit } from '../../values/show-number.ts';
import type { Scale, ValueType } from '../../values/type.ts';

/** How a value is coded, short enough for a drawing: `uint16 × 0.01 Hz`, `utf8, 0 to 60 octets`, `enum uint8`. */
export function codingWords(type: ValueType): string {
  switch (type.kind) {
    case 'integer': {
      const factor = scaleWords(type.scale);
      if (factor !== '') return `${typeName(type)} × ${withUnit(factor, type.unit)}`;
      return inUnit(typeName(type), type.unit);
    }
    case 'float':
      return inUnit(typeName(type), type.unit);
    case 'text':
    case 'bytes':
      return `${typeName(type)}, ${lengthWords(type.minLength, type.maxLength)}`;
    default:
      return typeName(type);
  }
}

/** `12 octets`, `0 to 60 octets`. */
export function lengthWords(min: number, max: number): string {
  if (min === max) return `${max} ${max === 1 ? 'octet' : 'octets'}`;
  return `${min} to ${max} octets`;
}

/** What one step of the code is worth: `0.01`, `10⁻⁷`, `2⁻¹⁵`; empty for one. */
export function scaleWords({ multiplier, decimal, binary }: Scale): string {
  if (multiplier === 1 && decimal === 0 && binary === 0) return '';
  const factors: string[] = [];
  const plain = binary === 0 && Math.abs(decimal) <= 4;
  if (plain) return exactNumber(multiply(rational(multiplier), powerOf(10n, decimal)));
  if (multiplier !== 1) factors.push(`${multiplier}`);
  if (decimal !== 0) factors.push(`10${superscript(decimal)}`);
  if (binary !== 0) factors.push(`2${superscript(binary)}`);
  return factors.join(' × ');
}

function inUnit(name: string, unit: number): string {
  const symbol = unitSymbol(unit);
  return symbol === '' ? name : `${name} in ${symbol}`;
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** A whole number: `⁻⁷`. */
export function superscript(value: number): string {
  return value.toString().replace(/./g, (sign) => raised[Number(sign)] ?? '⁻');
}
