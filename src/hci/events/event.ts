import type { Layout } from '../layout.ts';

/** What one event carries. `code` is the event code, or the subevent code of an LE meta event. */
export type EventDeclaration = { readonly code: number; readonly parameters: Layout };
