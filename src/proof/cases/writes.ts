import { equalBytes } from '../../base/bytes.ts';
import type { Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import type { Row, Table, ValueDefinition } from '../../table/model.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import type { Case } from '../case.ts';
import { quiet } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { attributeAt } from '../remote.ts';
import type { Sample } from '../sample.ts';
import { allowedSamples, otherThan, steps } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { hexWords, valueWords } from '../words.ts';

/** Octets that a Write Command carries at the smallest MTU. */
const longestCommand = defaultMtu - 3;

/** Does the board hold what was written: every writable value at every limit, both ways of writing. */
export function writeCases(table: Table): readonly Case[] {
  const labels = table.rows.filter((row) => row.content.kind === 'description' && row.permissions.write === 'open');
  return makeCases('writes', [...table.values.flatMap(valueDrafts), ...labels.map((row) => labelDraft(table, row))]);
}

function valueDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, type } = value;
  const readable = value.access.includes('read');
  // What cannot be read back is known only from the console.
  const requires: readonly Reach[] = [...reachesFor(value), ...(readable ? [] : (['console'] as const))];
  const withConsole: readonly Reach[] = [...requires, 'console'];
  const byRequest = value.access.includes('write');
  const byCommand = value.access.includes('write-without-response');
  const changeable = steps(type, 2) !== undefined;
  const commandable = steps(type, 2, longestCommand) !== undefined;
  return [
    ...(byRequest ? allowedSamples(type) : []).map((sample): Draft => ({
      subject,
      kind: 'sample',
      name: sample.name,
      about: `The board takes ${valueWords(type, sample.bytes)} as ${label} and holds it.`,
      place,
      requires,
      run: (trial) => takesSample(trial, value, sample),
    })),
    ...when(byRequest && changeable, {
      subject,
      kind: 'twice',
      about: `Writing the same ${label} twice is no mistake.`,
      place,
      requires,
      run: (trial) => takesTwice(trial, value),
    }),
    ...when(byRequest && readable && changeable, {
      subject,
      kind: 'after-console',
      about: `When the board itself changes ${label} after a write, its value is read and not the one written.`,
      place,
      requires: withConsole,
      run: (trial) => yieldsToBoard(trial, value),
    }),
    ...when(byCommand && commandable, {
      subject,
      kind: 'command',
      about: `${label} arrives when it is sent without response.`,
      place,
      requires,
      run: (trial) => takesCommand(trial, value),
    }),
    ...when(byCommand && commandable, {
      subject,
      kind: 'commands-in-a-row',
      about: `Of many values of ${label} sent without response, the board ends with the last.`,
      place,
      requires,
      run: (trial) => takesCommands(trial, value),
    }),
  ];
}

async function takesSample(trial: Trial, value: ValueDefinition, sample: Sample): Promise<void> {
  const client = await trial.connectFor(value);
  // A board that ignores the write must not pass because it happened to hold the value already.
  const other = otherThan(value.type, sample.bytes);
  if (other !== undefined) await trial.hold(client, value, other);
  const mark = trial.mark();
  await trial.write(client, value, sample.bytes);
  await trial.mustHold(client, value, sample.bytes, mark);
}

async function takesTwice(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const [first, second] = steps(value.type, 2) ?? [];
  if (first === undefined || second === undefined) return;
  await trial.hold(client, value, first);
  const mark = trial.mark();
  await trial.write(client, value, second);
  await trial.write(client, value, second);
  await trial.mustHold(client, value, second, mark);
}

async function yieldsToBoard(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  for (const [i, octets] of (steps(value.type, 4) ?? []).entries()) {
    const mark = trial.mark();
    if (i % 2 === 0) await trial.write(client, value, octets);
    else await trial.set(value, octets);
    await trial.mustHold(client, value, octets, mark);
  }
}

async function takesCommand(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  await trial.touch(value, client);
  for (const octets of steps(value.type, 3, longestCommand) ?? []) {
    const mark = trial.mark();
    await client.mustWriteWithoutResponse(value, octets);
    await trial.pass(quiet);
    await trial.mustHold(client, value, octets, mark);
  }
}

async function takesCommands(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  await trial.touch(value, client);
  const row = steps(value.type, 20, longestCommand) ?? [];
  const last = row[row.length - 1];
  const mark = trial.mark();
  for (const octets of row) await client.mustWriteWithoutResponse(value, octets);
  await trial.pass(quiet);
  if (last !== undefined) await trial.mustHold(client, value, last, mark);
}

/** A label that clients may change: the writable auxiliaries of the extended properties. */
function labelDraft(table: Table, row: Row): Draft {
  const owner = table.services
    .flatMap((service) => service.characteristics)
    .find(({ descriptors }) => descriptors.some(({ handle }) => handle === row.handle));
  const target = attributeAt(row.handle, row.type);
  return {
    subject: owner?.id ?? 'table',
    kind: 'label',
    about: `The label ${owner?.label ?? row.about} can be changed by a client and is read back, longer and shorter.`,
    place: row.at,
    requires: ['handles'],
    run: async (trial) => {
      const client = await trial.connect();
      const before = await client.mustRead(target, 'the label');
      for (const text of ['a new name, longer than one packet', 'short', '']) {
        const octets = encodeUtf8(text);
        const outcome = await client.write(target, octets);
        trial.claim(outcome.ok, `the board takes the label "${text}"`, 'it refuses');
        const read = await client.mustRead(target, 'the label');
        trial.observe(equalBytes(read, octets), `the label reads ${hexWords(octets)}`, hexWords(read));
      }
      // Not one of the contract's values, so the case puts it back itself.
      await client.connection?.write(target, before);
    },
  };
}
