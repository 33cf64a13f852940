import { adoptedCharacteristics, adoptedServices } from '../numbers/adopted.ts';
import { appearances } from '../numbers/appearances.ts';
import { units } from '../numbers/units.ts';
import { showRange, withUnit } from '../values/show-number.ts';
import { typeName } from '../values/show.ts';
import type { ValueType } from '../values/type.ts';
import { contractRecord } from './entities/contract.ts';
import type { AnyRecord, Field } from './shapes/shape.ts';
import { recordsFrom } from './shapes/walk.ts';

/**
 * The reference of the contract language as Markdown: every key with its value, its default, its meaning and an example,
 * then the assigned names. Made from the decoder's declarations.
 */
export function contractReference(): string {
  return [
    '# Contract reference',
    '',
    'Generated from the decoder by `npm run docs`; edit the declarations in `src/contract/entities/`. What the words mean',
    'together is in [SPEC.md](../SPEC.md).',
    '',
    ...recordSections(recordsFrom(contractRecord)),
    ...assignedNames(),
  ].join('\n');
}

/** Fewer shared keys than this are told again where they occur. */
const worthReferring = 4;

function recordSections(records: readonly AnyRecord[]): readonly string[] {
  /** Where a key was told first; records that share it refer to there. */
  const told = new Map<Field<unknown>, AnyRecord>();
  return records.flatMap((record) => {
    const fields = Object.entries(record.fields);
    const shared = fields.filter(([, field]) => told.has(field));
    const own = shared.length < worthReferring ? fields : fields.filter(([, field]) => !told.has(field));
    const elsewhere = fields.filter((entry) => !own.includes(entry));
    const first = elsewhere.map(([, field]) => told.get(field))[0];
    for (const [, field] of own) if (!told.has(field)) told.set(field, record);
    const also =
      elsewhere.length === 0 || first === undefined
        ? []
        : [`Also ${elsewhere.map(([key]) => `\`${key}\``).join(', ')}, as in [${heading(first)}](#${first.id}).`, ''];
    return [
      `<a id="${record.id}"></a>`,
      '',
      `## ${heading(record)}`,
      '',
      record.intro,
      '',
      '| key | value | if left out | meaning | example |',
      '| --- | --- | --- | --- | --- |',
      ...own.map(([key, field]) => row(key, field)),
      '',
      ...also,
    ];
  });
}

function row(key: string, field: Field<unknown>): string {
  const otherwise =
    field.presence === 'default' && !field.otherwise.includes('`') ? `\`${field.otherwise}\`` : field.otherwise;
  return table(`\`${key}\``, valueOf(field), otherwise, field.doc, `\`${key}: ${field.example}\``);
}

/** What is wanted, the words it may be, and where the mappings in it are told. */
function valueOf(field: Field<unknown>): string {
  const wanted = linked(field.shape.wanted.replaceAll(' (a mapping)', ''));
  const choices = [...new Set(field.shape.choices())].filter((word) => !wanted.includes(`\`${word}\``));
  const words = choices.length === 0 ? '' : `: ${choices.map((word) => `\`${word}\``).join(' ')}`;
  const links = field.shape.records().map((record) => `[${heading(record).toLowerCase()}](#${record.id})`);
  return `${wanted}${words}${links.length === 0 ? '' : `; see ${links.join(', ')}`}`;
}

/** Phrases that name a list at the end of the page. */
const lists: Readonly<Record<string, string>> = {
  'a list of adopted services': 'adopted-services',
  'the assigned name of an adopted characteristic': 'adopted-characteristics',
  'the assigned name of an appearance': 'appearances',
  'the assigned name of a unit': 'units',
};

function linked(wanted: string): string {
  return Object.entries(lists).reduce((text, [phrase, id]) => text.replace(phrase, `[${phrase}](#${id})`), wanted);
}

function assignedNames(): readonly string[] {
  return [
    '<a id="adopted-services"></a>',
    '',
    '## Adopted services',
    '',
    'Services that `use` takes, and what each has when nothing is listed.',
    '',
    '| name | UUID | characteristics |',
    '| --- | --- | --- |',
    ...adoptedServices.map(({ name, uuid, characteristics }) =>
      table(
        `\`${name}\``,
        `0x${uuid}`,
        characteristics.map((entry) => `\`${entry.name}\` (${entry.access.join(', ')})`).join(', '),
      ),
    ),
    '',
    '<a id="adopted-characteristics"></a>',
    '',
    '## Adopted characteristics',
    '',
    'Characteristics whose format is known. Every other assigned name can stand under `adopted` too; it then needs a `type`.',
    '',
    '| name | UUID | type | values |',
    '| --- | --- | --- | --- |',
    ...adoptedCharacteristics.map(({ name, uuid, type }) =>
      table(`\`${name}\``, `0x${uuid}`, typeName(type), valuesOf(type)),
    ),
    '',
    '<a id="units"></a>',
    '',
    '## Units',
    '',
    '| name | number | symbol |',
    '| --- | --- | --- |',
    ...units.map(({ name, code, symbol }) => table(`\`${name}\``, hex16(code), symbol)),
    '',
    '<a id="appearances"></a>',
    '',
    '## Appearances',
    '',
    '| name | number |',
    '| --- | --- |',
    ...appearances.map(({ name, value }) => table(`\`${name}\``, hex16(value))),
    '',
  ];
}

function valuesOf(type: ValueType): string {
  switch (type.kind) {
    case 'integer': {
      const special = type.special.map(({ name }) => name).join(', ');
      return showRange(type.range, type.unit) + (special === '' ? '' : `; ${special}`);
    }
    case 'float':
      return type.range === undefined ? withUnit('a number', type.unit) : showRange(type.range, type.unit);
    case 'text':
    case 'bytes':
      return `${type.minLength} to ${type.maxLength} octets`;
    case 'enum':
    case 'flags':
      return type.names.map(({ name }) => name).join(', ');
    case 'struct':
      return type.fields.map(({ id }) => id).join(', ');
    case 'boolean':
    case 'array':
      return '';
  }
}

function table(...cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replace(/\|/g, '\\|')).join(' | ')} |`;
}

/** `a wave tank` as `Wave tank`, ``a `radio` mapping`` as `Radio`. */
function heading({ called }: AnyRecord): string {
  const words = called.replace(/^(?:an?|the) /, '').replace(/^`(.*)` mapping$/, '$1');
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}

function hex16(value: number): string {
  return `0x${value.toString(16).toUpperCase().padStart(4, '0')}`;
}
