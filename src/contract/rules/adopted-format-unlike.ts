import { placeOf } from '../model.ts';
import { characteristicRule } from './rule.ts';
import { unlikeStandard } from './same-format.ts';
import { characteristics } from './sample.ts';

export const adoptedFormatUnlike = characteristicRule<{ name: string; uuid: string; label: string; adopted: string }>(
  {
    code: 'adopted-format-unlike',
    severity: 'warning',
    title: 'Adopted characteristic in a format we know otherwise',
    why: 'The format we know of this characteristic is not quoted from a document at hand, so look it up: clients decode the value as the standard says.',
    source: 'GATT Specification Supplement section 3 (from memory)',
    bad: characteristics(`
id: rain
label: Rainfall
uuid: 0x2A78
type: uint8
unit: metre
access: [read]`),
    good: characteristics(`
id: rain
label: Rainfall
adopted: rainfall
access: [read]`),
    message: ({ name, uuid, label }) =>
      `\`${name}\` has the UUID 0x${uuid} of ${label}, but not the format we know of it`,
    hint: ({ adopted }) =>
      `write \`adopted: ${adopted}\`, or waive this with the place in the standard that gives the format`,
  },
  (characteristic, report) => {
    const standard = unlikeStandard(characteristic);
    if (standard?.certainty !== 'memory') return;
    report(placeOf(characteristic.where, 'type'), {
      name: characteristic.id,
      uuid: standard.uuid,
      label: standard.label,
      adopted: standard.name,
    });
  },
);
