import { divide, isInteger, multiply, rational, type Rational } from '../../base/rational.ts';
import { codedRange, scaleFactor } from '../../values/physical.ts';
import type { IntegerType } from '../../values/type.ts';
import { replaceValue } from './edits.ts';
import { covers, heldRange } from './holding.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { exactNumber, showQuantity, showRange } from '../../values/show-number.ts';

export const rangeBetweenCodes = shapeRule<{ name: string; bound: string; reached: string; use: string }>(
  {
    code: 'range-between-codes',
    severity: 'note',
    title: 'Bound of the range falls between codes',
    why: 'The bound itself cannot be sent or set: the last value inside is short of it by part of a code.',
    source: 'common practice',
    bad: characteristics(`
id: level
label: Tank level
type: uint8
unit: percentage
range: [0, 99.5]
access: [read]`),
    good: characteristics(`
id: level
label: Tank level
type: uint8
unit: percentage
range: [0, 99]
access: [read]`),
    message: ({ name, bound, reached }) =>
      `${bound} lies between two codes of \`${name}\`, whose codes reach ${reached}`,
    hint: ({ use }) => `write \`range: ${use}\`, or choose a finer scale`,
  },
  (shape, report) => {
    const { type, name } = shape;
    if (type.kind !== 'integer' || !type.bounded || !covers(heldRange(type), type.range)) return;
    const off = [type.range.min, type.range.max].find((bound) => !onGrid(type, bound));
    if (off === undefined) return;
    const codes = codedRange(type);
    const ends = [codes.min, codes.max].map((code) => multiply(rational(code), scaleFactor(type.scale)));
    const [a = off, b = off] = type.scale.multiplier < 0 ? ends.reverse() : ends;
    const use = `[${exactNumber(a)}, ${exactNumber(b)}]`;
    report(
      shapePlace(shape, 'range'),
      { name, bound: showQuantity(off, type.unit), reached: showRange({ min: a, max: b }, type.unit), use },
      { fixes: [replaceValue(shape.where, 'range', use, 'End the range at codes')] },
    );
  },
);

function onGrid(type: IntegerType, value: Rational): boolean {
  return isInteger(divide(value, scaleFactor(type.scale)));
}
