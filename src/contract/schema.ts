import { contractRecord } from './entities/contract.ts';
import { recordsFrom } from './shapes/walk.ts';
import type { JsonSchema } from './shapes/shape.ts';

/**
 * JSON Schema of the contract language, for editors: completion, key documentation and most mistakes of form while
 * typing. Made from the decoder's own declarations, so it accepts every contract that the decoder does; what words mean
 * together (types that fit, ids that exist) only `gattwright check` knows.
 *
 * Draft-07, because that is what YAML editing tools understand without gaps.
 */
export function contractSchema(): JsonSchema {
  const others = recordsFrom(contractRecord).filter(({ id }) => id !== contractRecord.id);
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'Gattwright contract, version 1',
    ...contractRecord.definition(),
    definitions: Object.fromEntries(others.map((record) => [record.id, record.definition()])),
  };
}
