import { unitByName } from '../../../numbers/units.ts';
import { fixedWord, listOf, recordOf, type SchemaWalk, wordsOf } from './schema-walk.ts';
import type { JsonSchema } from '../../../contract/shapes/shape.ts';
import type { Step, TextPlace } from './text-place.ts';

/** One thing that may be written at a place. */
export type Offer = {
  readonly label: string;
  /** What is put into the text; `#{}` marks where one goes on writing. */
  readonly put: string;
  readonly kind: 'key' | 'word' | 'form';
  /** A few words beside it: the unit's symbol, the default. */
  readonly detail: string;
  /** What it means, a sentence or two. */
  readonly about: string;
  /** More words to be asked for at once: the key's values are a closed list. */
  readonly goOn: boolean;
};

/** Words of the contract itself that some places take. */
export type Known = {
  /** Ids of its services. */
  readonly services: readonly string[];
  /** Codes of warnings and notes, with what they are about. */
  readonly codes: readonly { readonly code: string; readonly title: string }[];
};

/** What may be written at the place, what is needed first. */
export function offersAt(walk: SchemaWalk, place: TextPlace, known: Known): readonly Offer[] {
  if (place.kind === 'key') return keyOffers(walk, place.path, place.keys);
  const values = valueOffers(walk, place, known);
  return place.kind === 'item' ? [...values, ...keyOffers(walk, place.path, new Map())] : values;
}

function keyOffers(walk: SchemaWalk, path: readonly Step[], present: ReadonlyMap<string, string>): readonly Offer[] {
  // The word under the cursor may be a key that is finished: it is offered again, so that it can be looked up.
  return walk
    .keysAt(path, present)
    .filter(({ key }) => !present.has(key))
    .sort((a, b) => Number(b.required) - Number(a.required))
    .map(({ key, about, required, forms }) => {
      const { sentence, otherwise } = aboutParts(about);
      return {
        label: key,
        put: `${key}: `,
        kind: 'key',
        detail: required ? 'required' : otherwise,
        about: sentence,
        goOn: forms.some((form) => wordsOf(form).length > 0),
      };
    });
}

function valueOffers(walk: SchemaWalk, { path, items, keys }: TextPlace, known: Known): readonly Offer[] {
  const offers = new Map<string, Offer>();
  const add = (label: string, parts: Partial<Offer> = {}): void => {
    if (!offers.has(label) && !items.includes(label))
      offers.set(label, { label, put: label, kind: 'word', detail: '', about: '', goOn: false, ...parts });
  };
  const key = path.findLast((step) => typeof step === 'string') ?? '';
  for (const word of namesAt(path, key, known)) add(word.name, { detail: word.about });
  for (const form of formsFor(walk, path, keys)) {
    for (const word of wordsOf(form)) add(word, { detail: key === 'unit' ? (unitByName(word)?.symbol ?? '') : '' });
    const shape = templateOf(form);
    if (shape !== undefined) add(shape.label, { put: shape.put, kind: 'form', about: shape.about });
  }
  const example = exampleOf(walk, path, keys);
  if (offers.size === 0 && example !== undefined) add(example, { detail: 'for example' });
  return [...offers.values()];
}

/** A key's forms; those of the mapping around it that its other keys leave. */
function formsFor(walk: SchemaWalk, path: readonly Step[], keys: ReadonlyMap<string, string>): readonly JsonSchema[] {
  const last = path.at(-1);
  if (typeof last !== 'string') return walk.formsAt(path);
  const others = new Map([...keys].filter(([key]) => key !== last));
  const choice = walk.keysAt(path.slice(0, -1), others).find(({ key }) => key === last);
  return choice?.forms ?? walk.formsAt(path);
}

function exampleOf(walk: SchemaWalk, path: readonly Step[], keys: ReadonlyMap<string, string>): string | undefined {
  const last = path.at(-1);
  if (typeof last !== 'string') return undefined;
  const about = walk.aboutKey(path.slice(0, -1), last, new Map([...keys].filter(([key]) => key !== last)));
  return about === undefined ? undefined : aboutParts(about).example;
}

function namesAt(path: readonly Step[], key: string, known: Known): readonly { name: string; about: string }[] {
  const isItem = typeof path.at(-1) === 'number';
  if (isItem && (key === 'includes' || (key === 'services' && path.includes('advertise'))))
    return known.services.map((name) => ({ name, about: 'a service of this contract' }));
  if (key === 'finding') return known.codes.map(({ code, title }) => ({ name: code, about: title }));
  return [];
}

/** A mapping with its required keys, to be filled in: `{ enum: …, names: … }`. */
function templateOf(
  form: JsonSchema,
): { readonly label: string; readonly put: string; readonly about: string } | undefined {
  const required = listOf(form['required']).filter((key) => typeof key === 'string');
  if (required.length === 0) return undefined;
  const properties = recordOf(form['properties']);
  const parts = required.map((key) => ({ key, fixed: fixedWord(recordOf(properties[key])) }));
  const label = `{ ${parts.map(({ key, fixed }) => (fixed === undefined ? `${key}: …` : `${key}: ${fixed}`)).join(', ')} }`;
  const put = `{ ${parts.map(({ key, fixed }) => `${key}: ${fixed ?? '#{}'}`).join(', ')} }`;
  return { label, put, about: typeof form['description'] === 'string' ? form['description'] : '' };
}

/** The sentences of a key's description: what it is, what holds without it, how it is written. */
export function aboutParts(about: string): {
  readonly sentence: string;
  readonly otherwise: string;
  readonly example: string | undefined;
} {
  const example = / ?Example: (.*)$/s.exec(about);
  const rest = example === null ? about : about.slice(0, example.index);
  const otherwise = / ?(?:Default: (.*?)\.|If left out: (.*?)\.|Required\.)$/s.exec(rest);
  return {
    sentence: otherwise === null ? rest : rest.slice(0, otherwise.index),
    otherwise: otherwise?.[1] ?? otherwise?.[2] ?? '',
    example: example?.[1],
  };
}
