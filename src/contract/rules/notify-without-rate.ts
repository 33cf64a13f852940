import { placeOf } from '../model.ts';
import { setKey } from './edits.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

const bounded = '{ on: change, at-most: 10 Hz }';

export const notifyWithoutRate = characteristicRule<{ name: string }>(
  {
    code: 'notify-without-rate',
    severity: 'warning',
    title: 'Notifications without a bound on their rate',
    why: 'A value that jitters fills the radio and the queue; other values come late or get lost, and nobody can say beforehand whether the link carries it.',
    source: 'common practice',
    bad: characteristics(`
id: level
label: Level
type: uint8
unit: percentage
access: [read, notify]`),
    good: characteristics(`
id: level
label: Level
type: uint8
unit: percentage
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`),
    message: ({ name }) => `\`${name}\` is sent on each change, however fast it changes`,
    hint: () => `add a bound, as in \`notify: ${bounded}\``,
  },
  (characteristic, report, { text }) => {
    const { notify, where, id } = characteristic;
    if (notify === undefined || notify.on.kind !== 'change' || notify.minSpacing !== undefined) return;
    report(
      placeOf(where, where.keys.has('notify') || !where.keys.has('access') ? 'notify' : 'access'),
      { name: id },
      { fixes: [setKey(text, where, 'notify', bounded, 'Send at most ten a second')] },
    );
  },
);
