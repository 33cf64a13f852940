import type { Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import { when, type Draft } from '../make-case.ts';
import { periodOf } from '../pace.ts';
import { steps } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import { timeWords } from '../words.ts';
import * as runs from './publication-runs.ts';

/** What is asked of a value that comes by itself: the same of notifications and of indications. */
export function publicationDrafts(table: Table, value: ValueDefinition, mode: runs.Mode): readonly Draft[] {
  const { id: subject, label, at: place, type, notify } = value;
  if (notify === undefined) return [];
  const { one, sent } = runs.modeWords[mode];
  const requires = reachesFor(value);
  const withConsole: readonly Reach[] = [...requires, 'console'];
  const changeable = steps(type, 2) !== undefined;
  const onChange = notify.on.kind === 'change';
  // Something must make it come: its period, a client's write, or the console.
  const pushed = !onChange || value.access.includes('write') ? requires : withConsole;
  const comes = !onChange || changeable;
  return [
    {
      subject,
      kind: 'cccd',
      about: `The subscription of ${label} is off at first, and reads back as it is set.`,
      place,
      requires: [...requires, 'handles'],
      run: (trial) => runs.configurationReads(trial, value, mode),
    },
    ...when(onChange && changeable, {
      subject,
      kind: 'change',
      about: `Each change of ${label} is ${sent} once, and with the truth.`,
      place,
      requires: withConsole,
      run: (trial) => runs.tellsChanges(trial, value, mode),
    }),
    ...when(onChange && changeable, {
      subject,
      kind: 'no-change',
      about: `When ${label} is set to the value it has, nothing is ${sent}.`,
      place,
      requires: withConsole,
      run: (trial) => runs.isSilentWithoutChange(trial, value, mode),
    }),
    ...when(onChange && changeable && notify.minSpacing !== undefined, {
      subject,
      kind: 'rate',
      about: `When ${label} changes faster than the contract's rate, ${one}s keep to it and the latest value wins.`,
      place,
      requires: withConsole,
      run: (trial) => runs.keepsRate(trial, value, mode),
    }),
    ...when(notify.on.kind === 'every', {
      subject,
      kind: 'period',
      about: `${label} is ${sent} every ${timeWords(periodOf(value))}, changed or not, with the truth.`,
      place,
      requires,
      run: (trial) => runs.keepsPeriod(trial, value, mode),
    }),
    ...when(
      comes,
      {
        subject,
        kind: 'unasked',
        about: `Who has not subscribed to ${label} gets none.`,
        place,
        requires: pushed,
        run: (trial) => runs.isSilentUnasked(trial, value),
      },
      {
        subject,
        kind: 'stops',
        about: `After unsubscribing from ${label} nothing comes any more.`,
        place,
        requires: pushed,
        run: (trial) => runs.stops(trial, value, mode),
      },
      {
        subject,
        kind: 'after-response',
        about: `The first ${one} of ${label} comes after the subscription was answered, and it is not stale.`,
        place,
        requires: [...pushed, 'raw-pdu'],
        run: (trial) => runs.waitsForResponse(trial, value, mode),
      },
      {
        subject,
        kind: 'forgotten',
        about: `Who connects again without a bond is not subscribed to ${label} any more.`,
        place,
        requires: pushed,
        run: (trial) => runs.isForgotten(trial, value, mode),
      },
      {
        subject,
        kind: 'only-whom-asked',
        about: `When one client subscribes to ${label}, another one gets nothing.`,
        place,
        requires: [...pushed, 'second-client'],
        run: (trial) => runs.goesToSubscriber(trial, value, mode),
      },
      {
        subject,
        kind: 'to-both',
        about: `Two clients that subscribed to ${label} both get it, and one goes on when the other unsubscribes.`,
        place,
        requires: [...pushed, 'second-client'],
        run: (trial) => runs.goesToBoth(trial, value, mode),
      },
    ),
    ...when(value.maxLength > defaultMtu - 3 && changeable, {
      subject,
      kind: 'long',
      about: `A ${label} longer than one packet is ${sent} as its beginning; with a larger MTU more of it comes.`,
      place,
      requires: [...withConsole, 'mtu'],
      run: (trial) => runs.sendsBeginning(trial, table, value, mode),
    }),
    ...when(onChange && changeable && value.access.includes('write'), {
      subject,
      kind: 'air-write',
      about: `A ${label} that a client writes is ${sent} to whoever subscribed.`,
      place,
      requires,
      run: (trial) => runs.tellsWrites(trial, value, mode),
    }),
  ];
}
