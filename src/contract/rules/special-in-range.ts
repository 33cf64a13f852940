import { multiply, rational } from '../../base/rational.ts';
import { scaleFactor } from '../../values/physical.ts';
import { contains, heldRange } from './holding.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { showQuantity, showRange } from '../../values/show-number.ts';

export const specialInRange = shapeRule<{ name: string; code: string; special: string; value: string; range: string }>(
  {
    code: 'special-in-range',
    severity: 'warning',
    title: 'Special code inside the range',
    why: 'One code then stands for two things: a client cannot tell `unknown` from the quantity with the same number.',
    source: 'common practice; the adopted characteristics keep such codes outside their ranges',
    bad: characteristics(`
id: soil
label: Soil moisture
type: uint8
unit: percentage
range: [0, 100]
special: { 0: unknown }
access: [read]`),
    good: characteristics(`
id: soil
label: Soil moisture
type: uint8
unit: percentage
range: [0, 100]
special: { 0xFF: unknown }
access: [read]`),
    message: ({ name, code, special, value, range }) =>
      `code ${code} of \`${name}\` is named \`${special}\` but is also ${value}, inside the range ${range}`,
    hint: () => 'give the special meaning a code outside the range, such as the greatest the type can hold',
  },
  (shape, report) => {
    const { type, name } = shape;
    // Over the full width every code is inside; the special codes are then what narrows it.
    if (type.kind !== 'integer' || !type.bounded) return;
    const held = heldRange(type);
    for (const { code, name: special } of type.special) {
      const value = multiply(rational(code), scaleFactor(type.scale));
      if (!contains(type.range, value) || !contains(held, value)) continue;
      report(shapePlace(shape, 'special'), {
        name,
        code: `${code}`,
        special,
        value: showQuantity(value, type.unit),
        range: showRange(type.range, type.unit),
      });
    }
  },
);
