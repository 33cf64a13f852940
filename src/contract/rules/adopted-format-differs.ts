import { placeOf } from '../model.ts';
import { characteristicRule } from './rule.ts';
import { unlikeStandard } from './same-format.ts';
import { characteristics } from './sample.ts';

export const adoptedFormatDiffers = characteristicRule<{ name: string; uuid: string; label: string; adopted: string }>(
  {
    code: 'adopted-format-differs',
    severity: 'error',
    title: 'Adopted characteristic in another format',
    why: 'Every client that knows the UUID decodes the value as the standard says and shows a wrong number.',
    source: 'GATT Specification Supplement section 3; Core Vol 3 Part G 3.3',
    bad: characteristics(`
id: air
label: Air temperature
uuid: 0x2A6E
type: uint8
unit: degree celsius
access: [read]`),
    good: characteristics(`
id: air
label: Air temperature
adopted: temperature
access: [read]`),
    message: ({ name, uuid, label }) => `\`${name}\` has the UUID 0x${uuid} of ${label}, but not its format`,
    hint: ({ adopted }) =>
      `write \`adopted: ${adopted}\` in place of \`uuid\` and the type, or give it a UUID of your own`,
  },
  (characteristic, report) => {
    const standard = unlikeStandard(characteristic);
    if (standard?.certainty !== 'seen') return;
    report(placeOf(characteristic.where, 'type'), {
      name: characteristic.id,
      uuid: standard.uuid,
      label: standard.label,
      adopted: standard.name,
    });
  },
);
