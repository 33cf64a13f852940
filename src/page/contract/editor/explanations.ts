import type { FindingDoc } from '../../../base/finding.ts';
import type { SchemaWalk } from './schema-walk.ts';

/** What the language says of itself: its keys, and every finding. Fetched when first asked for. */
export type Explanations = {
  readonly walk: SchemaWalk;
  readonly findingDoc: (code: string) => FindingDoc | undefined;
  /** Codes that can be waived. */
  readonly waivable: readonly { readonly code: string; readonly title: string }[];
};

let loading: Promise<Explanations> | undefined;

export function explanations(): Promise<Explanations> {
  loading ??= load().catch((error: unknown) => {
    // Asked again, it is tried again: the network may be back.
    loading = undefined;
    throw error;
  });
  return loading;
}

async function load(): Promise<Explanations> {
  const [{ contractSchema }, { allFindings }, { SchemaWalk: Walk }] = await Promise.all([
    import('../../../contract/schema.ts'),
    import('../../../table/catalogue.ts'),
    import('./schema-walk.ts'),
  ]);
  const byCode = new Map(allFindings.map((doc) => [doc.code, doc]));
  return {
    walk: new Walk(contractSchema()),
    findingDoc: (code) => byCode.get(code),
    waivable: allFindings.filter(({ severity }) => severity !== 'error').map(({ code, title }) => ({ code, title })),
  };
}
