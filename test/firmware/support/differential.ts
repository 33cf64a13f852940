import fc from 'fast-check';
import type { Table } from '../../../src/table/model.ts';
import { toHex } from '../../../src/base/bytes.ts';
import { arbitraryHappenings } from './arbitrary-happening.ts';
import { Twin, type Happening } from './twin.ts';
import type { WasmModule } from './wasm.ts';

/** Lets the same happen to both boards. @returns the first difference, `undefined` when there is none */
export function firstDifference(
  module: WasmModule,
  table: Table,
  happenings: readonly Happening[],
): string | undefined {
  const twin = new Twin(module, table);
  if (twin.differences.length > 0) return twin.differences.join('\n');
  // A connection from the start, so that short runs reach something.
  for (const what of [{ kind: 'open', place: 0 } as const, ...happenings]) {
    twin.happen(what);
    if (twin.differences.length > 0) return `after ${show(what)}:\n${twin.differences.join('\n')}`;
  }
  return undefined;
}

/** Runs random sequences on a table. @throws with the shortest sequence that shows a difference */
export function checkTable(
  module: WasmModule,
  table: Table,
  options: { readonly runs: number; readonly length: number; readonly seed?: number },
): void {
  const places = new Twin(module, table).places.length;
  const sequence = arbitraryHappenings(table, places, options.length);
  fc.assert(
    fc.property(sequence, (happenings) => {
      const difference = firstDifference(module, table, happenings);
      if (difference !== undefined) throw new Error(difference);
    }),
    {
      numRuns: options.runs,
      ...(options.seed === undefined ? {} : { seed: options.seed }),
      reporter: (details) => {
        if (!details.failed) return;
        const shrunk = details.counterexample?.[0].map(show).join('\n') ?? '';
        const error = details.errorInstance instanceof Error ? details.errorInstance.message : '';
        throw new Error(`seed ${details.seed}, after ${details.numShrinks} shrinks:\n${shrunk}\n${error}`);
      },
    },
  );
}

function show(what: Happening): string {
  return JSON.stringify(what, (_, value: unknown) => (value instanceof Uint8Array ? toHex(value) : value));
}
