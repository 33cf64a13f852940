import { compare, powerOf, showRational, type Rational } from '../../base/rational.ts';
import { integersFor, integerStep, largestMagnitude, spacing } from './holding.ts';
import { setKeys } from './edits.ts';
import { givenAt, shapeRule } from './rule.ts';
import { typeName } from '../../values/show.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { showQuantity } from '../../values/show-number.ts';

export const resolutionTooCoarse = shapeRule<{ name: string; finest: string; step: string; remedy: string }>(
  {
    code: 'resolution-too-coarse',
    severity: 'error',
    title: 'Resolution coarser than the step needed',
    why: 'Neighbouring values that must be told apart get the same code, so a client can neither set nor see the difference.',
    source: 'GATT Specification Supplement section 2; IEEE 754; IEEE 11073-20601 Annex F',
    bad: characteristics(`
id: bath
label: Bath temperature
type: sint16
scale: { decimal: -1 }
unit: degree celsius
range: [0, 100]
step: 0.05
access: [read]`),
    good: characteristics(`
id: bath
label: Bath temperature
type: sint16
scale: { decimal: -2 }
unit: degree celsius
range: [0, 100]
step: 0.05
access: [read]`),
    message: ({ name, finest, step }) => `one code of \`${name}\` is ${finest}, but a step of ${step} is needed`,
    hint: ({ remedy }) => remedy,
  },
  (shape, report, { text }) => {
    const { type, name, where } = shape;
    if (type.kind !== 'integer' && type.kind !== 'float') return;
    const { step } = type;
    if (step === undefined) return;
    const tell = (finest: Rational, remedy: string, keys: Readonly<Record<string, string>>): void => {
      report(
        shapePlace(shape, 'step'),
        { name, finest: showQuantity(finest, type.unit), step: showQuantity(step, type.unit), remedy },
        {
          related: [givenAt(where, type.kind === 'float' ? 'type' : 'scale', 'the resolution comes from here')],
          fixes: [setKeys(text, where, keys, 'Make the codes fine enough')],
        },
      );
    };
    if (type.kind === 'integer') {
      const finest = integerStep(type);
      if (compare(finest, step) <= 0) return;
      const decimal = decimalFor(step);
      const scale = `{ decimal: ${decimal} }`;
      const types = type.bounded
        ? integersFor(type.range, { ...type, scale: { multiplier: 1, decimal, binary: 0 } })
        : [typeName(type)];
      const use = types.includes(typeName(type)) ? typeName(type) : types[0];
      if (use === undefined) tell(finest, `write \`scale: ${scale}\` and a smaller range`, {});
      else if (use === typeName(type)) tell(finest, `write \`scale: ${scale}\``, { scale });
      else tell(finest, `write \`scale: ${scale}\` with \`type: ${use}\``, { scale, type: use });
      return;
    }
    if (type.range === undefined) return;
    const finest = spacing(type.format, largestMagnitude(type.range));
    if (compare(finest, step) <= 0) return;
    const wider = type.format === 'medfloat16' ? 'medfloat32' : 'float64';
    if (type.format === 'float64') tell(finest, `write a step of ${showRational(finest)} or more`, {});
    else tell(finest, `write \`type: ${wider}\`, or a coarser step`, { type: wider });
  },
);

/** The greatest power of ten that is not coarser than `step`. */
function decimalFor(step: Rational): number {
  let decimal = 10;
  while (decimal > -10 && compare(powerOf(10n, decimal), step) > 0) decimal -= 1;
  return decimal;
}
