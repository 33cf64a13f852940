import { adoptedCharacteristic, adoptedServices } from '../../numbers/adopted.ts';
import { placeOf, type AccessWord } from '../model.ts';
import { isPublished, isReadable, isWritable } from './access.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const adoptedAccessDiffers = characteristicRule<{ name: string; label: string; odd: string }>(
  {
    code: 'adopted-access-differs',
    severity: 'warning',
    title: 'Adopted characteristic with unusual access',
    why: 'A client written to the standard reads or subscribes to this value and does not expect to write it, nor to be denied a first value.',
    source: 'the adopted service specifications; common practice',
    bad: characteristics(`
id: air
label: Air humidity
adopted: humidity
access: [read, write]`),
    good: characteristics(`
id: air
label: Air humidity
adopted: humidity
access: [read]`),
    message: ({ name, label, odd }) => `\`${name}\` is the adopted ${label} and ${odd}`,
    hint: () => 'give it the access of the standard, or a UUID of your own for a value that works otherwise',
  },
  (characteristic, report) => {
    const standard = characteristic.adopted === undefined ? undefined : adoptedCharacteristic(characteristic.adopted);
    if (standard === undefined) return;
    const usual = usualAccess(standard.name, standard.access);
    const writes = usual.includes('write') || usual.includes('write-without-response');
    const odd =
      isWritable(characteristic) && !writes
        ? 'can be written, which the standard does not foresee'
        : usual.includes('read') && !isReadable(characteristic) && !isPublished(characteristic)
          ? 'cannot be read, which every client of it will try'
          : undefined;
    if (odd === undefined) return;
    report(placeOf(characteristic.where, 'access'), { name: characteristic.id, label: standard.label, odd });
  },
);

/** What any adopted service allows; a characteristic used in several has the access of them all. */
function usualAccess(name: string, base: readonly AccessWord[]): readonly AccessWord[] {
  const inServices = adoptedServices.flatMap(({ characteristics: all }) => all.filter((entry) => entry.name === name));
  return [...base, ...inServices.flatMap((entry) => entry.access)];
}
