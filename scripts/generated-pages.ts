import { contractReference } from '../src/contract/reference.ts';
import { contractSchema } from '../src/contract/schema.ts';
import { findingsReference } from '../src/table/findings-reference.ts';

/** Every page under docs/ that is made from declarations in the code; paths from the project's folder. */
export function generatedPages(): readonly { readonly path: string; readonly text: string }[] {
  return [
    { path: 'docs/reference/contract.md', text: contractReference() },
    { path: 'docs/reference/findings.md', text: findingsReference() },
    { path: 'docs/reference/contract.schema.json', text: `${JSON.stringify(contractSchema(), undefined, 2)}\n` },
  ];
}
