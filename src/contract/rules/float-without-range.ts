import { isWritable } from './access.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';

export const floatWithoutRange = shapeRule<{ name: string }>(
  {
    code: 'float-without-range',
    severity: 'warning',
    title: 'Floating-point number that takes NaN and infinity',
    why: 'One NaN in a control loop makes every later result NaN; only with a range are NaN and the infinities refused.',
    source: 'contract language; IEEE 754 section 6.2',
    bad: characteristics(`
id: target
label: Target temperature
type: float32
unit: degree celsius
access: [read, write]`),
    good: characteristics(`
id: target
label: Target temperature
type: float32
unit: degree celsius
range: [5, 60]
access: [read, write]`),
    message: ({ name }) => `\`${name}\` can be written and has no range, so NaN and the infinities are taken too`,
    hint: () => 'add `range: [LEAST, GREATEST]`',
  },
  (shape, report) => {
    const { type, name, characteristic } = shape;
    if (type.kind !== 'float' || type.range !== undefined || !isWritable(characteristic)) return;
    // For actuators `actuator-without-range` says so.
    if (!characteristic.actuator) report(shapePlace(shape, 'type'), { name });
  },
);
