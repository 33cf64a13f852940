import { isGiven, placeOf } from '../model.ts';
import { isPublished, isReadable, isWritable } from './access.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const needsWithoutAccess = characteristicRule<{ name: string; way: string; access: string }>(
  {
    code: 'needs-without-access',
    severity: 'warning',
    title: 'Security for an access that is not given',
    why: 'Either the access was forgotten, or the security was meant for another one that now stands open.',
    source: 'contract language',
    bad: characteristics(`
id: serial
label: Serial number
type: uint32
access: [read]
needs: { write: encrypted }`),
    good: characteristics(`
id: serial
label: Serial number
type: uint32
access: [read]
needs: { read: encrypted }`),
    message: ({ name, way, access }) =>
      `\`needs\` of \`${name}\` speaks of \`${way}\`, but its access has no ${access}`,
    hint: ({ way, access }) => `delete \`${way}\` from \`needs\`, or add ${access} to \`access\``,
  },
  (characteristic, report, { text }) => {
    const { where, id, needs } = characteristic;
    if (!isGiven(where, 'needs')) return;
    const place = placeOf(where, 'needs');
    // One word means all the access there is.
    const written = text.slice(place.start, place.end);
    if (!/[:]/.test(written)) return;
    const says = (way: string): boolean => new RegExp(`\\b${way}["']?\\s*:`).test(written);
    const tell = (way: string, access: string): void => {
      report(place, { name: id, way, access });
    };
    // `read` also sets what a subscription needs.
    if (says('read') && needs.read !== 'open' && !isReadable(characteristic) && !isPublished(characteristic))
      tell('read', '`read`');
    // It also protects a label that clients may write.
    const writes = isWritable(characteristic) || characteristic.writableLabel;
    if (says('write') && needs.write !== 'open' && !writes) tell('write', '`write`');
    if (says('subscribe') && needs.subscribe !== 'open' && !isPublished(characteristic))
      tell('subscribe', '`notify` or `indicate`');
  },
);
