import { setKey } from './edits.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';

/** 0x2700, unitless. */
const unitless = 0x2700;

export const unitMissing = shapeRule<{ name: string; why: string }>(
  {
    code: 'unit-missing',
    severity: 'warning',
    title: 'Number without a unit',
    why: 'A client shows the bare number, and the reader guesses: millimetres or metres, Celsius or kelvin. The presentation format carries the unit only if the contract says it.',
    source: 'common practice; Core Vol 3 Part G 3.3.3.5.4',
    bad: characteristics(`
id: draught
label: Draught
type: sint16
scale: { decimal: -3 }
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    good: characteristics(`
id: draught
label: Draught
type: sint16
scale: { decimal: -3 }
unit: metre
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    message: ({ name, why }) => `\`${name}\` ${why} but no unit`,
    hint: () => 'add `unit:` with the assigned name, such as `unit: metre`, or `unit: unitless` for a pure number',
  },
  (shape, report, { text }) => {
    const { type, where, name } = shape;
    if (type.kind !== 'integer' && type.kind !== 'float') return;
    if (type.unit !== unitless || where.keys.size === 0 || where.keys.has('unit') || where.keys.has('adopted')) return;
    const scaled = where.keys.has('scale');
    if (!scaled && type.kind === 'integer') return;
    const fix = setKey(text, where, 'unit', 'unitless', 'Say that it is a pure number');
    report(
      shapePlace(shape, scaled ? 'scale' : 'type'),
      { name, why: scaled ? 'has a scale' : 'is a floating-point number' },
      { fixes: [fix] },
    );
  },
);
