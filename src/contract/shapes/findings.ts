import { findingKind, type FindingDoc } from '../../base/finding.ts';

/** Findings about the form of single keys and values, whatever they mean. */

const language = 'contract language';

const head = 'contract: 1\nboard: { name: Tank }\n';

export const wrongKind = findingKind<{
  name: string;
  found: string;
  wanted: string;
  /** What may be meant, as it would be written. */
  write?: string;
  /** How it is made right, where one word does not do it. */
  remedy?: string;
}>({
  code: 'wrong-kind',
  severity: 'error',
  title: 'Another kind of value',
  why: 'Each key takes one kind of value, so that a contract reads the same way everywhere.',
  source: language,
  bad: `${head}services: none\n`,
  good: `${head}services: []\n`,
  message: ({ name, found, wanted }) => `${name} is ${found}, but ${wanted} is wanted`,
  hint: ({ name, wanted, write, remedy }) =>
    write === undefined ? (remedy ?? `give ${name} ${wanted}`) : `write \`${write}\``,
});

export const needsQuotes = findingKind<{ name: string; text: string; kind: string }>({
  code: 'needs-quotes',
  severity: 'error',
  title: 'Text that needs quotes',
  why: 'Without quotes YAML reads numbers, `true`, `false` and `null` as such; `1.10` would become 1.1 in another reader.',
  source: 'YAML 1.2.2 section 10.3.2',
  bad: 'contract: 1\nboard: { name: Tank, firmware: 1.10 }\n',
  good: 'contract: 1\nboard: { name: Tank, firmware: "1.10" }\n',
  message: ({ name, text, kind }) => `${name} is a text, but \`${text}\` without quotes is ${kind}`,
  hint: ({ text }) => `write \`"${text}"\``,
});

export const unknownKey = findingKind<{
  key: string;
  record: string;
  nearest: string | undefined;
  keys: readonly string[];
}>({
  code: 'unknown-key',
  severity: 'error',
  title: 'Unknown key',
  why: 'A key that nobody reads is usually a misspelt one, and what it was to say would silently not hold.',
  source: language,
  bad: 'contract: 1\nboard: { name: Tank, apearance: 0x0540 }\n',
  good: 'contract: 1\nboard: { name: Tank, appearance: 0x0540 }\n',
  message: ({ key, record }) => `\`${key}\` is no key of ${record}`,
  hint: ({ nearest, keys }) =>
    nearest === undefined
      ? keys.length === 0
        ? 'delete it; all keys that may stand here are given already'
        : `use one of ${listed(keys)}, or delete it`
      : `write \`${nearest}\``,
});

export const missingKey = findingKind<{ key: string; record: string; example: string }>({
  code: 'missing-key',
  severity: 'error',
  title: 'Key missing',
  why: 'Nothing sensible can be assumed where this key is left out.',
  source: language,
  bad: 'contract: 1\nboard: { unit: "01" }\n',
  good: 'contract: 1\nboard: { name: Tank, unit: "01" }\n',
  message: ({ key, record }) => `${record} needs \`${key}\`, which is not given`,
  hint: ({ key, example }) => `add \`${key}\`, for example \`${key}: ${example}\``,
});

export const unknownWord = findingKind<{
  name: string;
  word: string;
  nearest: string | undefined;
  words: readonly string[];
}>({
  code: 'unknown-word',
  severity: 'error',
  title: 'Unknown word',
  why: 'The key takes one of a few words, each with a fixed meaning.',
  source: language,
  bad: `${head}radio: { connection: { phy: 3M } }\n`,
  good: `${head}radio: { connection: { phy: 2M } }\n`,
  message: ({ name, word, words }) => `${name} is \`${word}\`, but ${listed(words, 'or')} is wanted`,
  hint: ({ nearest, words }) =>
    nearest !== undefined
      ? `write \`${nearest}\``
      : words.length > 14
        ? 'choose one that the contract reference lists'
        : `write ${listed(words, 'or')}`,
});

export const notWhole = findingKind<{ name: string; text: string }>({
  code: 'not-a-whole-number',
  severity: 'error',
  title: 'Not a whole number',
  why: 'The key counts things or names a code.',
  source: language,
  bad: `${head}radio: { connection: { latency: 1.5 } }\n`,
  good: `${head}radio: { connection: { latency: 1 } }\n`,
  message: ({ name, text }) => `${name} is ${text}, but a whole number is wanted`,
  hint: () => 'write digits only, or a hex number such as `0x1F`',
});

export const notFinite = findingKind<{ name: string; text: string }>({
  code: 'not-an-exact-number',
  severity: 'error',
  title: 'Not an exact number',
  why: 'Numbers of a contract are exact decimals or hex integers; octal, infinity, not-a-number and exponents beyond 400 are none.',
  source: language,
  bad: `${head}radio: { connection: { mtu: 0o27 } }\n`,
  good: `${head}radio: { connection: { mtu: 23 } }\n`,
  message: ({ name, text }) => `${name} is \`${text}\`, which is neither a decimal number nor a hex integer`,
  hint: () => 'write it as a decimal number such as `0.25` or `1e-3`, or as a hex integer such as `0x1F`',
});

export const leadingZero = findingKind<{ name: string; text: string; bare: string }>({
  code: 'leading-zero',
  severity: 'error',
  title: 'Number that begins with 0',
  why: 'Some readers take digits behind a 0 for octal, people mostly for hex, and YAML 1.2 for decimal.',
  source: 'YAML 1.2.2 section 10.3.2; YAML 1.1 type int',
  bad: `${head}radio: { connection: { mtu: 0100 } }\n`,
  good: `${head}radio: { connection: { mtu: 100 } }\n`,
  message: ({ name, text }) => `${name} is \`${text}\`, which readers take for octal, decimal or hex`,
  hint: ({ bare }) => `write \`${bare}\` for the decimal number, or \`0x\` and the digits for a hex one`,
});

export const outOfBounds = findingKind<{ name: string; found: string; min: string; max: string; remedy?: string }>({
  code: 'out-of-bounds',
  severity: 'error',
  title: 'Outside the allowed bounds',
  why: 'The standard or the language gives bounds that no board can leave.',
  source: 'Core Specification, and contract language',
  bad: `${head}radio: { connection: { mtu: 600 } }\n`,
  good: `${head}radio: { connection: { mtu: 517 } }\n`,
  message: ({ name, found, min, max }) =>
    `${name} is ${found}, but ${min === max ? `only ${min}` : `${min} to ${max}`} is allowed`,
  hint: ({ name, min, max, remedy }) =>
    remedy ?? (min === max ? `write ${min}` : `set ${name} to ${min} or more and ${max} or less`),
});

export const notAboveZero = findingKind<{ name: string; found: string; what: string }>({
  code: 'not-above-zero',
  severity: 'error',
  title: 'Nothing, or less',
  why: 'Clocks, references and resolutions divide something; none of them can be zero or negative.',
  source: 'common practice',
  bad: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\nservices: [{ id: tank, characteristics: [{ id: level, type: uint8, step: 0, access: [read] }] }]\n`,
  good: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\nservices: [{ id: tank, characteristics: [{ id: level, type: uint8, step: 1, access: [read] }] }]\n`,
  message: ({ name, found, what }) => `${name} is ${found}, but ${what} above 0 is wanted`,
  hint: ({ name }) => `set ${name} to what it really is`,
});

export const notInSteps = findingKind<{ name: string; found: string; step: string; below: string; above: string }>({
  code: 'not-in-steps',
  severity: 'error',
  title: 'Between two steps',
  why: 'The controller takes times as whole counts; anything between is another time than the contract says.',
  source: 'Core Vol 4 Part E 7.8 and Vol 6 Part B 4.5',
  bad: `${head}radio: { connection: { interval: 31 ms } }\n`,
  good: `${head}radio: { connection: { interval: 30 ms } }\n`,
  message: ({ name, found, step }) => `${name} is ${found}, but the air counts in steps of ${step}`,
  hint: ({ below, above }) => `write ${below} or ${above}`,
});

export const quantityForm = findingKind<{
  name: string;
  found: string;
  what: string;
  units: readonly string[];
  example: string;
}>({
  code: 'quantity-form',
  severity: 'error',
  title: 'Number without its unit',
  why: 'A time or frequency is a number and its unit, so that nobody mistakes milliseconds for seconds.',
  source: language,
  bad: `${head}radio: { connection: { interval: 30 } }\n`,
  good: `${head}radio: { connection: { interval: 30 ms } }\n`,
  message: ({ name, found, what, units }) => `${name} is ${found}, but ${what} is a number and ${listed(units, 'or')}`,
  hint: ({ example }) => `write it like \`${example}\``,
});

export const tooFine = findingKind<{ name: string; found: string }>({
  code: 'time-too-fine',
  severity: 'error',
  title: 'Time finer than a microsecond',
  why: 'Times are kept in whole microseconds; the air itself counts in 625 µs and 1250 µs.',
  source: language,
  bad: `${head}radio: { connection: { timeout: 4000.0001 ms } }\n`,
  good: `${head}radio: { connection: { timeout: 4000 ms } }\n`,
  message: ({ name, found }) => `${name} is ${found}, which is no whole number of microseconds`,
  hint: () => 'round it to whole microseconds',
});

export const uuidForm = findingKind<{ name: string; found: string; hint: string }>({
  code: 'uuid-form',
  severity: 'error',
  title: 'Not a UUID',
  why: 'A 16-bit UUID is written as a hex number, a 128-bit one in its usual 36 characters; anything else is easily misread.',
  source: 'RFC 9562 section 4, Core Vol 3 Part B 2.5.1',
  bad: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77\n`,
  good: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\n`,
  message: ({ name, found }) => `${name} is ${found}, which is no UUID`,
  hint: ({ hint }) => hint,
});

export const idForm = findingKind<{ name: string; id: string; suggestion: string | undefined }>({
  code: 'id-form',
  severity: 'error',
  title: 'Not an id',
  why: 'Ids become names on the console, in firmware and in clients; these characters are safe everywhere.',
  source: language,
  bad: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\nservices: [{ id: Tank_1, characteristics: [] }]\n`,
  good: `${head}uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\nservices: [{ id: tank-1, characteristics: [] }]\n`,
  message: ({ name, id }) =>
    `${name} is \`${id}\`, but an id is a small letter and then small letters, digits and hyphens, at most 32 in all`,
  hint: ({ suggestion }) => (suggestion === undefined ? 'choose another id' : `write \`${suggestion}\``),
});

export const hexForm = findingKind<{ name: string; found: string }>({
  code: 'hex-form',
  severity: 'error',
  title: 'Not octets in hex',
  why: 'Octets are written as pairs of hex digits, first octet first.',
  source: language,
  bad: `${head}radio: { advertise: { manufacturer-data: { company: 0xFFFF, data: "012" } } }\n`,
  good: `${head}radio: { advertise: { manufacturer-data: { company: 0xFFFF, data: "0012" } } }\n`,
  message: ({ name, found }) => `${name} is ${found}, but octets are pairs of hex digits`,
  hint: () => 'write two hex digits for each octet, in quotes, as in `"01 a0"`',
});

export const textLength = findingKind<{ name: string; octets: number; min: number; max: number }>({
  code: 'text-length',
  severity: 'error',
  title: 'Text too short or too long',
  why: 'A text that is empty says nothing; one that is too long fits no attribute or no packet.',
  source: 'Core Vol 3 Part F 3.2.9, and contract language',
  bad: 'contract: 1\nboard: { name: "" }\n',
  good: head,
  message: ({ name, octets, min, max }) =>
    `${name} is ${octets} octet${octets === 1 ? '' : 's'} of UTF-8, but ${min} to ${max} are allowed`,
  hint: ({ octets, min }) => (octets < min ? 'write a text' : 'shorten the text'),
});

export const unprintableCharacter = findingKind<{ name: string; unit: number; half: boolean }>({
  code: 'unprintable-character',
  severity: 'error',
  title: 'Character that shows nothing',
  why: 'Names and labels are shown on displays and made into identifiers, where a line end or a control character does harm; half a surrogate pair has no UTF-8 form at all.',
  source: 'RFC 3629 section 3; common practice',
  bad: 'contract: 1\nboard: { name: "Tank\\n01" }\n',
  good: 'contract: 1\nboard: { name: "Tank 01" }\n',
  message: ({ name, unit, half }) =>
    `${name} holds U+${unit.toString(16).toUpperCase().padStart(4, '0')}, ${half ? 'half a character, which UTF-8 cannot carry' : 'a control character, where only what shows may stand'}`,
  hint: () => 'delete the character, or the escape that stands for it',
});

export const listLength = findingKind<{ name: string; count: number; min: number; max: number }>({
  code: 'list-length',
  severity: 'error',
  title: 'List too short or too long',
  why: 'The list has a fixed meaning for each of its entries, or needs at least one.',
  source: language,
  bad: `${head}radio: { connection: { interval: [20 ms] } }\n`,
  good: `${head}radio: { connection: { interval: [20 ms, 40 ms] } }\n`,
  message: ({ name, count, min, max }) =>
    `${name} has ${count} ${count === 1 ? 'entry' : 'entries'}, but ${min === max ? String(min) : max === Infinity ? `at least ${min}` : `${min} to ${max}`} ${min === 1 && max === Infinity ? 'is' : 'are'} wanted`,
  hint: ({ count, min }) => (count < min ? 'add what is missing' : 'delete what is too much'),
});

export const repeatedEntry = findingKind<{ name: string; entry: string }>({
  code: 'repeated-entry',
  severity: 'error',
  title: 'Entry repeated in a list',
  why: 'The second entry adds nothing; usually another word was meant.',
  source: language,
  bad: `${head}use: [battery, battery]\n`,
  good: `${head}use: [battery]\n`,
  message: ({ name, entry }) => `${name} holds \`${entry}\` twice`,
  hint: ({ entry }) => `delete one \`${entry}\`, or write the one that was meant`,
});

export const reversedBounds = findingKind<{ name: string; first: string; second: string }>({
  code: 'bounds-reversed',
  severity: 'error',
  title: 'Bounds in the wrong order',
  why: 'With its lower bound above the upper one a range holds nothing.',
  source: language,
  bad: `${head}radio: { connection: { interval: [40 ms, 20 ms] } }\n`,
  good: `${head}radio: { connection: { interval: [20 ms, 40 ms] } }\n`,
  message: ({ name, first, second }) => `${name} begins at ${first} and ends at ${second}, which is less`,
  hint: ({ first, second }) => `write [${second}, ${first}]`,
});

export const unclearMapping = findingKind<{ name: string; keys: readonly string[] }>({
  code: 'unclear-mapping',
  severity: 'error',
  title: 'Mapping of no known kind',
  why: 'One key of the mapping says which kind it is; without it nothing else in it can be understood.',
  source: language,
  bad: `${head}uuid-base: { name: example.org }\n`,
  good: `${head}uuid-base: { dns: example.org }\n`,
  message: ({ name, keys }) => `${name} is a mapping without ${listed(keys, 'or')}`,
  hint: ({ keys }) => `give it one of the keys ${listed(keys, 'or')}`,
});

export const unknownName = findingKind<{ name: string; found: string; what: string; hint: string }>({
  code: 'unknown-name',
  severity: 'error',
  title: 'Name that is not assigned',
  why: 'Units, appearances and adopted services are numbers on the air; only assigned names have one.',
  source: 'Bluetooth SIG Assigned Numbers',
  bad: 'contract: 1\nboard: { name: Tank, appearance: generic-senser }\n',
  good: 'contract: 1\nboard: { name: Tank, appearance: generic-sensor }\n',
  message: ({ name, found, what }) => `${name} is \`${found}\`, but no ${what} is called that`,
  hint: ({ hint }) => hint,
});

export const versionNotKnown = findingKind<{ found: number }>({
  code: 'version-not-known',
  severity: 'error',
  title: 'Version of the language that is not known',
  why: 'A later version of the language may mean something else by the same words.',
  source: language,
  bad: 'contract: 2\nboard: { name: Tank }\n',
  good: head,
  message: ({ found }) => `\`contract\` is ${found}, but this program reads version 1 of the language`,
  hint: () => 'write `contract: 1`, or use a newer program',
});

export const shapeFindings: readonly FindingDoc[] = [
  wrongKind.doc,
  needsQuotes.doc,
  unknownKey.doc,
  missingKey.doc,
  unknownWord.doc,
  notWhole.doc,
  notFinite.doc,
  leadingZero.doc,
  outOfBounds.doc,
  notAboveZero.doc,
  notInSteps.doc,
  quantityForm.doc,
  tooFine.doc,
  uuidForm.doc,
  idForm.doc,
  hexForm.doc,
  textLength.doc,
  unprintableCharacter.doc,
  listLength.doc,
  repeatedEntry.doc,
  reversedBounds.doc,
  unclearMapping.doc,
  unknownName.doc,
  versionNotKnown.doc,
];

/** `` `a`, `b` or `c` ``; a long list is cut. */
export function listed(words: readonly string[], last = 'and'): string {
  const shown = words.length > 14 ? words.slice(0, 12) : words;
  const quoted = shown.map((word) => `\`${word}\``);
  if (shown.length < words.length) return `${quoted.join(', ')} ${last} ${words.length - shown.length} more`;
  const end = quoted.pop();
  return quoted.length === 0 ? (end ?? 'nothing') : `${quoted.join(', ')} ${last} ${end ?? ''}`;
}
