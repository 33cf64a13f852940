import { unitByCode, unitByName, unitsBySymbol, type Unit } from '../../numbers/units.ts';
import { replaceValue } from './edits.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';

export const labelUnitDiffers = shapeRule<{ name: string; said: string; unit: string; label: string }>(
  {
    code: 'label-unit-differs',
    severity: 'warning',
    title: 'Label names another unit',
    why: 'The label and the presentation format then contradict each other, and half of the readers believe the wrong one: a factor of 1000 goes into the report.',
    source: 'common practice',
    bad: characteristics(`
id: supply
label: Supply (mV)
type: uint16
scale: { decimal: -3 }
unit: volt
access: [read, notify]
notify: { on: change, at-most: 1 Hz }`),
    good: characteristics(`
id: supply
label: Supply
type: uint16
scale: { decimal: -3 }
unit: volt
access: [read, notify]
notify: { on: change, at-most: 1 Hz }`),
    message: ({ name, said, unit }) => `the label of \`${name}\` says \`${said}\`, but its unit is ${unit}`,
    hint: ({ said, label }) =>
      `take \`${said}\` out of the label (the unit shows by itself), as in \`label: ${label}\`, or change \`unit\``,
  },
  (shape, report) => {
    const { type, name, isElement } = shape;
    if ((type.kind !== 'integer' && type.kind !== 'float') || isElement) return;
    const found = unitInLabel(shape.label);
    if (found === undefined) return;
    const unit = unitByCode(type.unit);
    const { said, units } = found;
    if (units.some((candidate) => candidate.unit.code === type.unit && !candidate.prefixed)) return;
    // `Channel (A)` of a pure number names a channel.
    if ((unit === undefined || unit.symbol === '') && said.length === 1) return;
    // Another unit with the same symbol is the contract's business, not a contradiction.
    if (units.some((candidate) => candidate.unit.symbol === unit?.symbol && !candidate.prefixed)) return;
    const rest = shape.label.replace(found.whole, '').trim();
    const label = rest === '' ? name : rest;
    report(
      shapePlace(shape, 'label'),
      { name, said, unit: unit?.name ?? 'none', label },
      { fixes: [replaceValue(shape.where, 'label', JSON.stringify(label), 'Leave the unit to the format')] },
    );
  },
);

type Candidate = { readonly unit: Unit; readonly prefixed: boolean };

/** SI prefixes, the longer names before the shorter symbols. */
const prefixWords = /^(?:nano|micro|milli|centi|deci|hecto|kilo|mega|giga)/i;
const prefixSymbols = /^(?:da|[pnuµμmcdhkMG])/;

/** Texts in brackets that look like units and mean something else: minimum, acidity. */
const otherMeanings = new Set(['min', 'max', 'pH']);

/** A unit that stands in brackets or behind `in` at the end of a label: `(mV)`, `[ms]`, `in hPa`. */
function unitInLabel(label: string): { said: string; whole: string; units: readonly Candidate[] } | undefined {
  const match = /\s*[([]\s*([^()[\]]{1,30}?)\s*[)\]]/.exec(label) ?? /,?\s+in\s+(\S{1,30}(?:\s\S{1,30})?)$/.exec(label);
  const said = match?.[1];
  if (match === null || said === undefined || otherMeanings.has(said)) return undefined;
  const plain = said.replace(/^deg\s?([CF])$/, '°$1');
  const units = [
    ...named(plain, false),
    ...named(plain.replace(prefixWords, ''), true),
    ...unitsBySymbol(plain).map((unit) => ({ unit, prefixed: false })),
    ...unitsBySymbol(plain.replace(prefixSymbols, '')).map((unit) => ({ unit, prefixed: true })),
  ].filter(
    (candidate, i, all) => !candidate.prefixed || !all.some((other, j) => j < i && other.unit === candidate.unit),
  );
  return units.length === 0 ? undefined : { said, whole: match[0], units };
}

function named(text: string, prefixed: boolean): readonly Candidate[] {
  const unit = unitByName(text);
  // `number` and the like name no unit that a label could contradict.
  return unit === undefined || unit.symbol === '' ? [] : [{ unit, prefixed }];
}
