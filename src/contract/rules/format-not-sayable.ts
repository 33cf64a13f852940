import type { ValueType } from '../../values/type.ts';
import { placeOf, type Characteristic } from '../model.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const formatNotSayable = characteristicRule<{ name: string; what: string; remedy: string }>(
  {
    code: 'format-not-sayable',
    severity: 'note',
    title: 'Beyond what a presentation format can say',
    why: 'The presentation format descriptor knows one number with a power of ten. A client that has only the table, not the contract, shows such a value wrong or as raw octets.',
    source: 'Core Vol 3 Part G 3.3.3.5',
    bad: characteristics(`
id: angle
label: Angle
type: sint16
scale: { binary: -7 }
unit: plane angle (degree)
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    good: characteristics(`
id: angle
label: Angle
type: sint16
scale: { decimal: -2 }
unit: plane angle (degree)
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    message: ({ name, what }) => `\`${name}\` ${what}, which no presentation format can say`,
    hint: ({ remedy }) => remedy,
  },
  (characteristic, report) => {
    if (characteristic.adopted !== undefined) return;
    const beyond = beyondFormat(characteristic.type);
    if (beyond === undefined) return;
    report(placeFor(characteristic, beyond.key), { name: characteristic.id, what: beyond.what, remedy: beyond.remedy });
  },
);

function beyondFormat(type: ValueType): { what: string; remedy: string; key: string } | undefined {
  if (type.kind !== 'integer') return undefined;
  const { multiplier, binary } = type.scale;
  if (multiplier !== 1)
    return {
      key: 'scale',
      what: `has a multiplier of ${multiplier}`,
      remedy: 'use a power of ten alone, as in `scale: { decimal: -2 }`',
    };
  if (binary !== 0)
    return {
      key: 'scale',
      what: `has a scale of 2^${binary}`,
      remedy: 'use a power of ten, as in `scale: { decimal: -2 }`',
    };
  if (type.bits === 40)
    return {
      key: 'type',
      what: `is ${type.signed ? 'sint40' : 'uint40'}`,
      remedy: `use \`type: ${type.signed ? 'sint48' : 'uint48'}\``,
    };
  return undefined;
}

function placeFor(characteristic: Characteristic, key: string) {
  return placeOf(characteristic.where, characteristic.where.keys.has(key) ? key : 'type');
}
