import { compare, divide, isInteger } from '../../base/rational.ts';
import { integerStep } from './holding.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { showQuantity } from '../../values/show-number.ts';

export const stepBetweenCodes = shapeRule<{ name: string; step: string; code: string }>(
  {
    code: 'step-between-codes',
    severity: 'note',
    title: 'Step falls between codes',
    why: 'A person who sets 0.3 and reads back 0.296875 takes it for a fault of the board; each such value is off by up to half a code.',
    source: 'common practice',
    bad: characteristics(`
id: gap
label: Gap width
type: uint16
scale: { binary: -8 }
unit: metre
range: [0, 10]
step: 0.1
access: [read]`),
    good: characteristics(`
id: gap
label: Gap width
type: uint16
scale: { decimal: -2 }
unit: metre
range: [0, 10]
step: 0.1
access: [read]`),
    message: ({ name, step, code }) => `a step of ${step} is no whole number of codes of \`${name}\`, each ${code}`,
    hint: () => 'choose a scale of which the step is a multiple, such as a power of ten',
  },
  (shape, report) => {
    const { type, name } = shape;
    if (type.kind !== 'integer' || type.step === undefined) return;
    const code = integerStep(type);
    // A step finer than one code is another finding.
    if (compare(type.step, code) < 0 || isInteger(divide(type.step, code))) return;
    report(shapePlace(shape, 'step'), {
      name,
      step: showQuantity(type.step, type.unit),
      code: showQuantity(code, type.unit),
    });
  },
);
