import type { JsonSchema } from '../../../contract/shapes/shape.ts';
import type { Step } from './text-place.ts';

/** A key that may stand in a mapping. */
export type KeyChoice = {
  readonly key: string;
  /** What the schema says of it: sentence, default and example. */
  readonly about: string;
  readonly required: boolean;
  /** The forms its value may have. */
  readonly forms: readonly JsonSchema[];
};

/** Finds what may stand where in a contract, by the language's own schema. */
export class SchemaWalk {
  readonly #root: JsonSchema;

  constructor(root: JsonSchema) {
    this.#root = root;
  }

  /** The forms that the value at a path may have, each without references and alternatives. */
  formsAt(path: readonly Step[]): readonly JsonSchema[] {
    let forms = this.#open(this.#root);
    for (const step of path) forms = forms.flatMap((form) => this.#into(form, step));
    return forms;
  }

  /** The keys of a mapping, by the forms that allow all keys it has, and its `kind` where that decides. */
  keysAt(path: readonly Step[], present: ReadonlyMap<string, string>): readonly KeyChoice[] {
    const choices = new Map<string, KeyChoice>();
    for (const form of fitting(this.formsAt(path), present)) {
      const required = listOf(form['required']);
      for (const [key, value] of Object.entries(recordOf(form['properties']))) {
        const schema = recordOf(value);
        const known = choices.get(key);
        const about = typeof schema['description'] === 'string' ? schema['description'] : '';
        choices.set(key, {
          key,
          about: known?.about ?? about,
          required: (known?.required ?? false) || required.includes(key),
          forms: [...(known?.forms ?? []), ...this.#open(schema)],
        });
      }
    }
    return [...choices.values()];
  }

  /** What the schema says of a key of the mapping at `path`. */
  aboutKey(path: readonly Step[], key: string, present: ReadonlyMap<string, string>): string | undefined {
    const all = this.keysAt(path, present).find((choice) => choice.key === key);
    // A key that is not allowed beside the others is still worth its explanation.
    return (all ?? this.keysAt(path, new Map()).find((choice) => choice.key === key))?.about;
  }

  #into(form: JsonSchema, step: Step): readonly JsonSchema[] {
    if (typeof step === 'number') return this.#open(recordOf(form['items']));
    const properties = recordOf(form['properties']);
    if (Object.hasOwn(properties, step)) return this.#open(recordOf(properties[step]));
    return this.#open(recordOf(form['additionalProperties']));
  }

  /** A schema as the list of its alternatives. */
  #open(schema: JsonSchema): readonly JsonSchema[] {
    const reference = schema['$ref'];
    if (typeof reference === 'string') {
      const definitions = recordOf(this.#root['definitions']);
      return this.#open(recordOf(definitions[reference.replace('#/definitions/', '')]));
    }
    const parts = [...listOf(schema['allOf']), ...listOf(schema['anyOf'])];
    if (parts.length > 0) return parts.flatMap((part) => this.#open(recordOf(part)));
    return Object.keys(schema).length === 0 ? [] : [schema];
  }
}

/** The forms that have all of these keys, and the words that stand in them where the form fixes a word. */
function fitting(forms: readonly JsonSchema[], present: ReadonlyMap<string, string>): readonly JsonSchema[] {
  return forms.filter((form) => {
    const properties = recordOf(form['properties']);
    return [...present].every(([key, text]) => {
      if (!Object.hasOwn(properties, key)) return false;
      const fixed = fixedWord(recordOf(properties[key]));
      return fixed === undefined || text === '' || fixed === text;
    });
  });
}

/** The words that a form takes as a plain value. */
export function wordsOf(form: JsonSchema): readonly string[] {
  const fixed = form['const'];
  const words = [...listOf(form['enum']), ...(fixed === undefined ? [] : [fixed])];
  if (form['type'] === 'boolean') words.push('true', 'false');
  return words.filter((word) => typeof word === 'string' || typeof word === 'number').map(String);
}

/** The only word that may stand there: a drive's `kind`. */
export function fixedWord(form: JsonSchema): string | undefined {
  const words = wordsOf(form);
  return words.length === 1 ? words[0] : undefined;
}

export function recordOf(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as Record<string, unknown>) : {};
}

export function listOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? (value as unknown[]) : [];
}
