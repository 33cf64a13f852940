import { findingKind, type FindingDoc } from '../../base/finding.ts';
import { listed } from '../shapes/findings.ts';

/** Findings about what the words of a contract mean together: types, values, ids, UUIDs, adopted formats. */

/** Of a finding whose words never change. */
type NoArgs = Readonly<Record<string, never>>;

const language = 'contract language';

const head = 'contract: 1\nboard: { name: Tank }\nuuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\n';

/** A contract with one service and these characteristics, in flow style. */
function one(...characteristics: readonly string[]): string {
  return `${head}services:\n  - id: tank\n    characteristics:\n${characteristics.map((text) => `      - { ${text} }\n`).join('')}`;
}

export const duplicateId = findingKind<{ id: string; what: string; scope: string }>({
  code: 'duplicate-id',
  severity: 'error',
  title: 'Id given twice',
  why: 'Ids are names on the console, in firmware and in clients; one name cannot mean two things.',
  source: language,
  bad: one('id: level, type: uint8, access: [read]', 'id: level, type: uint16, access: [read]'),
  good: one('id: level, type: uint8, access: [read]', 'id: level-fine, type: uint16, access: [read]'),
  message: ({ id, what, scope }) => `\`${id}\` is already the id of another ${what} ${scope}`,
  hint: ({ id }) => `choose another id in place of \`${id}\``,
});

export const unknownService = findingKind<{
  name: string;
  id: string;
  nearest: string | undefined;
  known: readonly string[];
}>({
  code: 'unknown-service',
  severity: 'error',
  title: 'No such service',
  why: 'Includes and advertising name services of this contract by their ids.',
  source: language,
  bad: `${head}radio: { advertise: { services: [tnak] } }\nservices: [{ id: tank, characteristics: [] }]\n`,
  good: `${head}radio: { advertise: { services: [tank] } }\nservices: [{ id: tank, characteristics: [] }]\n`,
  message: ({ name, id }) => `${name} names \`${id}\`, but no service has that id`,
  hint: ({ nearest, known }) =>
    nearest !== undefined ? `write \`${nearest}\`` : known.length === 0 ? 'delete it' : `use one of ${listed(known)}`,
});

export const saidTwice = findingKind<{ what: string; keys: readonly string[] }>({
  code: 'said-in-two-ways',
  severity: 'error',
  title: 'Said in two ways',
  why: 'Each of these keys says the same thing; two of them can disagree, and then nobody knows which holds.',
  source: language,
  bad: one('id: level, slot: 4, uuid: 6b1d0004-0f5e-4c3a-9a77-2f0c5b8e41d0, type: uint8, access: [read]'),
  good: one('id: level, slot: 4, type: uint8, access: [read]'),
  message: ({ what, keys }) => `${listed(keys)} each say ${what}`,
  hint: ({ keys }) => `keep one of ${listed(keys)}`,
});

export const noUuid = findingKind<{ called: string; key: string }>({
  code: 'uuid-missing',
  severity: 'error',
  title: 'No UUID',
  why: 'Clients find services and characteristics by UUID.',
  source: 'Core Vol 3 Part G 3.1 and 3.3.1',
  bad: 'contract: 1\nboard: { name: Tank }\nservices: [{ id: tank, characteristics: [] }]\n',
  good: `${head}services: [{ id: tank, characteristics: [] }]\n`,
  message: ({ called, key }) => `${called} has ${key}, and the contract no \`uuid-base\` to make one from`,
  hint: () => 'add a `uuid-base` of your own to the contract, for example `{ dns: NAME }`, or a `uuid` here',
});

export const slotTaken = findingKind<{ slot: number }>({
  code: 'slot-taken',
  severity: 'error',
  title: 'Slot pinned twice',
  why: 'One slot makes one UUID; a service and its characteristics need different ones.',
  source: language,
  bad: one('id: level, slot: 4, type: uint8, access: [read]').replace('- id: tank\n', '- id: tank\n    slot: 4\n'),
  good: one('id: level, slot: 4, type: uint8, access: [read]').replace('- id: tank\n', '- id: tank\n    slot: 3\n'),
  message: ({ slot }) => `slot ${slot} is pinned by a service and again here`,
  hint: () => 'pin another slot, or leave `slot` out',
});

export const typeMissing = findingKind<{ called: string; adopted: string | undefined; remedy: string }>({
  code: 'type-missing',
  severity: 'error',
  title: 'No type',
  why: 'The type says how many octets cross the air and what they mean.',
  source: language,
  bad: one('id: level, access: [read]'),
  good: one('id: level, type: uint8, access: [read]'),
  message: ({ called, adopted }) =>
    adopted === undefined
      ? `${called} has no \`type\``
      : `${called} has no \`type\`, and the format of \`${adopted}\` is not known here`,
  hint: ({ remedy }) => remedy,
});

export const accessMissing = findingKind<{ called: string }>({
  code: 'access-missing',
  severity: 'error',
  title: 'No access',
  why: 'Without access no client can do anything with the value.',
  source: 'Core Vol 3 Part G 3.3.1.1',
  bad: one('id: level, type: uint8'),
  good: one('id: level, type: uint8, access: [read]'),
  message: ({ called }) => `${called} has no \`access\``,
  hint: () => 'add `access`, for example `access: [read, notify]`',
});

export const keyNotForType = findingKind<{ key: string; type: string; allowed: readonly string[] }>({
  code: 'key-not-for-type',
  severity: 'error',
  title: 'Key that the type does not have',
  why: 'A key without effect is usually meant for another type, or the type is not the one that was meant.',
  source: language,
  bad: one('id: light, type: boolean, unit: lux, access: [read]'),
  good: one('id: light, type: boolean, access: [read]'),
  message: ({ key, type, allowed }) =>
    `\`${key}\` says nothing about ${type}, which has ${allowed.length === 0 ? 'no such keys' : listed(allowed)}`,
  hint: ({ key }) => `delete \`${key}\`, or choose another type`,
});

export const lengthMissing = findingKind<{ type: string }>({
  code: 'length-missing',
  severity: 'error',
  title: 'No length',
  why: 'Buffers, packets and refusals all depend on how long a text or octet string may be.',
  source: language,
  bad: one('id: note, type: utf8, access: [read]'),
  good: one('id: note, type: utf8, length: [0, 20], access: [read]'),
  message: ({ type }) => `${type} needs \`length\`, which is not given`,
  hint: () => 'add `length`, for example `length: [0, 20]` octets',
});

export const codeTooWide = findingKind<{ code: string; type: string; min: string; max: string }>({
  code: 'code-too-wide',
  severity: 'error',
  title: 'Code beyond the width',
  why: 'A code that the width cannot hold can never cross the air.',
  source: language,
  bad: one('id: dye, type: { enum: uint8, names: { 0: none, 256: red } }, access: [read]'),
  good: one('id: dye, type: { enum: uint8, names: { 0: none, 255: red } }, access: [read]'),
  message: ({ code, type, min, max }) => `${code} is named, but ${type} has ${min} to ${max}`,
  hint: () => 'choose a code within the width, or a wider type',
});

export const duplicateCode = findingKind<{ code: string }>({
  code: 'duplicate-code',
  severity: 'error',
  title: 'Code named twice',
  why: 'One code can mean one thing only; `16` and `0x10` are the same.',
  source: language,
  bad: one('id: dye, type: { enum: uint8, names: { 16: none, 0x10: red } }, access: [read]'),
  good: one('id: dye, type: { enum: uint8, names: { 16: none, 0x11: red } }, access: [read]'),
  message: ({ code }) => `${code} has a name already`,
  hint: () => 'give one of the two another code, or delete it',
});

export const duplicateName = findingKind<{ name: string }>({
  code: 'duplicate-name',
  severity: 'error',
  title: 'Name used twice',
  why: 'People and programs choose by name, which must mean one code.',
  source: language,
  bad: one('id: dye, type: { enum: uint8, names: { 0: red, 1: red } }, access: [read]'),
  good: one('id: dye, type: { enum: uint8, names: { 0: red, 1: blue } }, access: [read]'),
  message: ({ name }) => `\`${name}\` names another code already`,
  hint: () => 'choose another name for one of the two',
});

export const duplicateField = findingKind<{ id: string }>({
  code: 'duplicate-field',
  severity: 'error',
  title: 'Field id given twice',
  why: 'Fields are told apart by their ids, in `start` values, on the console and in clients.',
  source: language,
  bad: one('id: point, type: { struct: [{ id: x, type: uint8 }, { id: x, type: uint8 }] }, access: [read]'),
  good: one('id: point, type: { struct: [{ id: x, type: uint8 }, { id: y, type: uint8 }] }, access: [read]'),
  message: ({ id }) => `\`${id}\` is already a field of this struct`,
  hint: () => 'choose another id for one of the two',
});

export const variableField = findingKind<{ id: string }>({
  code: 'varying-field-not-last',
  severity: 'error',
  title: 'Field of varying length before the last',
  why: 'Nothing on the air says where such a field ends, so what follows it could not be found.',
  source: language,
  bad: one(
    'id: entry, type: { struct: [{ id: text, type: utf8, length: [0, 8] }, { id: count, type: uint8 }] }, access: [read]',
  ),
  good: one(
    'id: entry, type: { struct: [{ id: count, type: uint8 }, { id: text, type: utf8, length: [0, 8] }] }, access: [read]',
  ),
  message: ({ id }) => `\`${id}\` varies in length, but only the last field of a struct may`,
  hint: ({ id }) => `move \`${id}\` to the end, or give it one fixed length`,
});

export const arrayElement = findingKind<{ element: string; why: string }>({
  code: 'array-element',
  severity: 'error',
  title: 'Type that cannot be an array’s element',
  why: 'Elements follow each other without separators, so each has the same number of whole octets.',
  source: language,
  bad: one('id: bits, type: { array: uint4, count: 8 }, access: [read]'),
  good: one('id: bits, type: { array: uint8, count: 8 }, access: [read]'),
  message: ({ element, why }) => `${element} ${why}, but elements of an array have a fixed number of whole octets`,
  hint: () => 'choose another type for the elements, or put them into a struct field by field',
});

export const beyondAttribute = findingKind<{ type: string; octets: number }>({
  code: 'value-beyond-attribute',
  severity: 'error',
  title: 'Value many times longer than an attribute',
  why: 'No attribute holds more than 512 octets. What is beyond all bounds is not worked out any further.',
  source: 'Core Vol 3 Part F 3.2.9',
  bad: one('id: frame, type: { array: { array: uint8, count: 320 }, count: 240 }, access: [read]'),
  good: one('id: line, type: { array: uint8, count: 320 }, access: [read]'),
  message: ({ type, octets }) => `${type} is up to ${octets} octets, but an attribute holds at most 512`,
  hint: () => 'send it in parts, with the number of the part in front',
});

export const rangeEmpty = findingKind<{ type: string; resolution: string }>({
  code: 'range-without-value',
  severity: 'error',
  title: 'No value within the range',
  why: 'The board could hold no value at all, and every write would be refused.',
  source: language,
  bad: one('id: gap, type: uint8, unit: metre, range: [0.2, 0.8], access: [read]'),
  good: one('id: gap, type: uint8, scale: { decimal: -1 }, unit: metre, range: [0.2, 0.8], access: [read]'),
  message: ({ type, resolution }) => `no code of ${type} lies within the range; one code is ${resolution}`,
  hint: () => 'set a finer `scale`, or widen the range',
});

export const adoptedFormat = findingKind<{ key: string; found: string; adopted: string; standard: string }>({
  code: 'adopted-wrong-format',
  severity: 'error',
  title: 'Another format than the standard’s',
  why: 'Every client that knows the UUID reads the value in the standard’s format, and would show a wrong number.',
  source: 'GATT Specification Supplement section 3',
  bad: one('id: water, adopted: temperature, unit: kelvin, access: [read]'),
  good: one('id: water, adopted: temperature, access: [read]'),
  message: ({ key, found, adopted, standard }) =>
    `\`${key}\` is ${found}, but \`${adopted}\` has ${standard} by the standard`,
  hint: ({ key }) => `delete \`${key}\`, or delete \`adopted\` and let the characteristic have a UUID of its own`,
});

export const valueRefused = findingKind<{ name: string; why: string }>({
  code: 'value-refused',
  severity: 'error',
  title: 'Value that the type refuses',
  why: 'The board itself would begin, or end, with a value that it refuses from a client.',
  source: language,
  bad: one('id: paddle, type: uint8, range: [0, 4], start: 5, access: [read]'),
  good: one('id: paddle, type: uint8, range: [0, 4], start: 4, access: [read]'),
  message: ({ name, why }) => `${name} cannot be held: ${why}`,
  hint: () => 'write a value that the type and its range allow, or widen them',
});

export const valueRounded = findingKind<{ name: string; asked: string; held: string; write: string }>({
  code: 'value-rounded',
  severity: 'warning',
  title: 'Value between two codes',
  why: 'The board holds the nearest value that can be coded, not the one that is written.',
  source: 'GATT Specification Supplement section 2',
  bad: one('id: paddle, type: uint8, unit: hertz, start: 0.4, access: [read]'),
  good: one('id: paddle, type: uint8, scale: { decimal: -1 }, unit: hertz, start: 0.4, access: [read]'),
  message: ({ name, asked, held }) => `${name} is ${asked}, but the nearest value that can be coded is ${held}`,
  hint: ({ write }) => `write \`${write}\`, or set a finer \`scale\``,
});

export const notifyWithoutAccess = findingKind<NoArgs>({
  code: 'notify-without-access',
  severity: 'error',
  title: 'Notification policy without notifications',
  why: 'The policy would never hold, because no client can subscribe.',
  source: language,
  bad: one('id: level, type: uint8, access: [read], notify: { on: change, at-most: 1 Hz }'),
  good: one('id: level, type: uint8, access: [read, notify], notify: { on: change, at-most: 1 Hz }'),
  message: () => '`notify` is given, but `access` has neither `notify` nor `indicate`',
  hint: () => 'add `notify` or `indicate` to `access`, or delete the policy',
});

export const driveNotForValue = findingKind<{ why: string }>({
  code: 'drive-not-for-value',
  severity: 'error',
  title: 'Drive that does not fit the value',
  why: 'A drive is arithmetic on a coded number of a certain quantity; on anything else it has no meaning.',
  source: language,
  bad: one('id: light, type: boolean, access: [read, write], drive: { kind: pwm-duty, top: 999 }'),
  good: one(
    'id: light, type: uint8, unit: percentage, range: [0, 100], access: [read, write], drive: { kind: pwm-duty, top: 999 }',
  ),
  message: ({ why }) => why,
  hint: () => 'delete `drive`, or give the value a type and a unit that the drive takes',
});

export const driveForm = findingKind<{ why: string }>({
  code: 'drive-form',
  severity: 'error',
  title: 'Drive that cannot work',
  why: 'With these figures no register word can be worked out.',
  source: 'common practice',
  bad: one(
    'id: lamp, type: uint8, unit: percentage, access: [read, write], drive: { kind: table, bits: 8, points: [[0, 0], [100, 4095]] }',
  ),
  good: one(
    'id: lamp, type: uint8, unit: percentage, access: [read, write], drive: { kind: table, bits: 12, points: [[0, 0], [100, 4095]] }',
  ),
  message: ({ why }) => why,
  hint: () => 'look the figures up in the chip’s data sheet',
});

export const timerQuantityUnclear = findingKind<{ unit: string }>({
  code: 'timer-quantity-unclear',
  severity: 'error',
  title: 'Timer of what?',
  why: 'A timer turns a frequency or a period into counts; the unit of this value says neither.',
  source: language,
  bad: one('id: tone, type: uint16, access: [read, write], drive: { kind: timer, clock: 1 MHz }'),
  good: one('id: tone, type: uint16, access: [read, write], drive: { kind: timer, clock: 1 MHz, of: frequency }'),
  message: ({ unit }) => `the value is in ${unit}, which says neither frequency nor period`,
  hint: () => 'add `of: frequency` or `of: period` to the drive, or set the `unit`',
});

export const resolveFindings: readonly FindingDoc[] = [
  duplicateId.doc,
  unknownService.doc,
  saidTwice.doc,
  noUuid.doc,
  slotTaken.doc,
  typeMissing.doc,
  accessMissing.doc,
  keyNotForType.doc,
  lengthMissing.doc,
  codeTooWide.doc,
  duplicateCode.doc,
  duplicateName.doc,
  duplicateField.doc,
  variableField.doc,
  arrayElement.doc,
  beyondAttribute.doc,
  rangeEmpty.doc,
  adoptedFormat.doc,
  valueRefused.doc,
  valueRounded.doc,
  notifyWithoutAccess.doc,
  driveNotForValue.doc,
  driveForm.doc,
  timerQuantityUnclear.doc,
];
