import { isWritable } from './access.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { typeName } from '../../values/show.ts';
import { heldRange } from './holding.ts';
import { showRange } from '../../values/show-number.ts';

export const actuatorWithoutRange = shapeRule<{ name: string; reach: string }>(
  {
    code: 'actuator-without-range',
    severity: 'warning',
    title: 'Actuator takes any number',
    why: 'What the type can hold is then what the motor is asked to do; the board has no ground to refuse a slip of a finger.',
    source: 'common practice',
    bad: characteristics(`
id: spindle
label: Spindle speed
type: uint16
unit: revolution per minute
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0 }`),
    good: characteristics(`
id: spindle
label: Spindle speed
type: uint16
unit: revolution per minute
range: [0, 3000]
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0 }`),
    message: ({ name, reach }) => `actuator \`${name}\` takes all that its type can hold, ${reach}`,
    hint: () => 'add `range: [LEAST, GREATEST]` with what the machine can bear',
  },
  (shape, report) => {
    const { type, name, characteristic } = shape;
    if (!characteristic.actuator || !isWritable(characteristic)) return;
    if (type.kind === 'integer' && !type.bounded) {
      const held = heldRange(type);
      report(shapePlace(shape, 'type'), { name, reach: showRange(held, type.unit) });
    }
    if (type.kind === 'float' && type.range === undefined) {
      report(shapePlace(shape, 'type'), { name, reach: `any ${typeName(type)}, NaN and the infinities included` });
    }
  },
);
