import { compare, negate } from '../../base/rational.ts';
import type { PhysicalRange } from '../../values/type.ts';
import { typeName } from '../../values/show.ts';
import { covers, greatest, heldRange, integersFor, largestMagnitude } from './holding.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { replaceValue } from './edits.ts';
import { showRange } from '../../values/show-number.ts';

export const typeTooNarrow = shapeRule<{
  name: string;
  type: string;
  held: string;
  wanted: string;
  use: string | undefined;
}>(
  {
    code: 'type-too-narrow',
    severity: 'error',
    title: 'Type too narrow for range and scale',
    why: 'A value beyond what the width can code wraps round or is cut: 4 Hz in steps of 0.01 Hz is 400, and an octet makes 144 of it, which reads as 1.44 Hz.',
    source: 'GATT Specification Supplement section 2: value = coded × multiplier × 10^decimal × 2^binary',
    bad: characteristics(`
id: stirrer
label: Stirrer frequency
type: uint8
scale: { decimal: -2 }
unit: hertz
range: [0, 4]
access: [read]`),
    good: characteristics(`
id: stirrer
label: Stirrer frequency
type: uint16
scale: { decimal: -2 }
unit: hertz
range: [0, 4]
access: [read]`),
    message: ({ name, type, held, wanted }) => `\`${name}\` is ${type} and holds ${held}, but its range is ${wanted}`,
    hint: ({ use, held }) =>
      use === undefined ? `narrow the range to ${held}` : `write \`type: ${use}\`, or narrow the range to ${held}`,
  },
  (shape, report) => {
    const { type } = shape;
    if (type.kind === 'float' && type.range !== undefined) {
      const limit = greatest(type.format);
      if (compare(largestMagnitude(type.range), limit) <= 0) return;
      report(shapePlace(shape, 'range'), {
        name: shape.name,
        type: type.format,
        held: showRange({ min: negate(limit), max: limit }, type.unit),
        wanted: showRange(type.range, type.unit),
        use: type.format === 'medfloat16' ? 'medfloat32' : 'float64',
      });
    }
    if (type.kind !== 'integer') return;
    const held: PhysicalRange = heldRange(type);
    if (covers(held, type.range)) return;
    const use = integersFor(type.range, type)[0];
    const place = shapePlace(shape, 'type');
    const fix =
      use === undefined || shape.isElement ? undefined : replaceValue(shape.where, 'type', use, `Make it ${use}`);
    report(
      place,
      {
        name: shape.name,
        type: typeName(type),
        held: showRange(held, type.unit),
        wanted: showRange(type.range, type.unit),
        use,
      },
      { related: [{ message: 'the range is here', at: shapePlace(shape, 'range') }], fixes: [fix] },
    );
  },
);
