import { compare, one, zero } from '../../base/rational.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { showRange } from '../../values/show-number.ts';

/** 0x27AD, percentage. */
const percentage = 0x27ad;

export const percentageAsFraction = shapeRule<{ name: string; range: string }>(
  {
    code: 'percentage-as-fraction',
    severity: 'warning',
    title: 'Percentage that ends at one',
    why: 'With the unit percentage, 1 means one hundredth. A fraction from 0 to 1 shows as at most 1 %.',
    source: 'common practice',
    bad: characteristics(`
id: valve
label: Valve opening
type: uint8
scale: { decimal: -2 }
unit: percentage
range: [0, 1]
access: [read]`),
    good: characteristics(`
id: valve
label: Valve opening
type: uint8
unit: percentage
range: [0, 100]
access: [read]`),
    message: ({ name, range }) => `\`${name}\` ranges over ${range}, but full scale of a percentage is 100 %`,
    hint: () => 'write `range: [0, 100]` with a scale to match, or `unit: unitless` for a fraction',
  },
  (shape, report) => {
    const { type, name } = shape;
    if ((type.kind !== 'integer' && type.kind !== 'float') || type.unit !== percentage) return;
    const { range } = type;
    if (range === undefined || (type.kind === 'integer' && !type.bounded)) return;
    if (compare(range.min, zero) < 0 || compare(range.max, one) > 0) return;
    report(shapePlace(shape, 'range'), { name, range: showRange(range, type.unit) });
  },
);
