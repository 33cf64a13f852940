import { equal } from '../../base/rational.ts';
import type { ValueType } from '../../values/type.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';

export const oneValueOnly = shapeRule<{ name: string; what: string }>(
  {
    code: 'one-value-only',
    severity: 'warning',
    title: 'Value that can never change',
    why: 'A range of one number, one name or no length leaves a single value: most often an unfinished line.',
    source: 'common practice',
    bad: characteristics(`
id: mode
label: Mode
type: { enum: uint8, names: { 0: standby } }
access: [read]`),
    good: characteristics(`
id: mode
label: Mode
type: { enum: uint8, names: { 0: standby, 1: running } }
access: [read]`),
    message: ({ name, what }) => `\`${name}\` has ${what} and can only ever hold one value`,
    hint: () => 'add the other values it can take, or leave the value out',
  },
  (shape, report) => {
    const what = onlyValue(shape.type);
    if (what !== undefined)
      report(shapePlace(shape, shape.type.kind === 'integer' ? 'range' : 'type'), { name: shape.name, what });
  },
);

function onlyValue(type: ValueType): string | undefined {
  switch (type.kind) {
    case 'enum':
      return type.names.length === 1 ? 'one name' : undefined;
    case 'integer':
      return equal(type.range.min, type.range.max) && type.special.length === 0 ? 'a range of one number' : undefined;
    case 'text':
    case 'bytes':
      return type.maxLength === 0 ? 'a length of 0 octets' : undefined;
    default:
      return undefined;
  }
}
