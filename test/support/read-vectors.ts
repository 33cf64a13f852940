import { readFileSync } from 'node:fs';

/**
 * A file of check values: each test says where its value comes from, by the file's or its group's source, and what its
 * flags mean. Ids are never used again.
 */
export type VectorFile<Input, Output> = {
  /** The document, its section or table; how it was checked. */
  readonly source: string;
  /** What each flag marks. */
  readonly notes: Readonly<Record<string, string>>;
  readonly groups: readonly VectorGroup<Input, Output>[];
};

export type VectorGroup<Input, Output> = {
  readonly name: string;
  /** Where the group's values come from, if not from the file's source. */
  readonly source?: string;
  readonly tests: readonly Vector<Input, Output>[];
};

export type Vector<Input, Output> = {
  readonly id: number;
  readonly comment: string;
  readonly flags: readonly string[];
  readonly input: Input;
  readonly result: 'valid' | 'invalid';
  /** Left out where the result is `invalid`. */
  readonly output?: Output;
};

/**
 * Reads a file of check values and holds it to its form: a source, unique ids, flags that the notes explain, an output
 * exactly where the result is valid.
 *
 * @param url of the file, as by `new URL('./vectors/x.json', import.meta.url)`
 */
export function readVectors<Input, Output>(url: URL): VectorFile<Input, Output> {
  const file = JSON.parse(readFileSync(url, 'utf8')) as VectorFile<Input, Output>;
  const ids = new Set<number>();
  if (file.source === '') throw new Error(`${url.pathname}: no source`);
  for (const group of file.groups) {
    for (const test of group.tests) {
      const where = `${url.pathname}: test ${test.id}`;
      if (!Number.isInteger(test.id) || ids.has(test.id)) throw new Error(`${where}: the id is not new`);
      ids.add(test.id);
      for (const flag of test.flags) {
        if (file.notes[flag] === undefined) throw new Error(`${where}: flag ${flag} is not explained`);
      }
      if ((test.result === 'valid') !== (test.output !== undefined))
        throw new Error(`${where}: output and result differ`);
    }
  }
  return file;
}

/** All tests of a file in order, with their group's name, for `it.each`. */
export function vectorTests<Input, Output>(
  file: VectorFile<Input, Output>,
): readonly (Vector<Input, Output> & { readonly group: string })[] {
  return file.groups.flatMap((group) => group.tests.map((test) => ({ ...test, group: group.name })));
}
