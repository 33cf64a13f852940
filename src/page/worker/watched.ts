import type { Table } from '../../table/model.ts';

/** What is watched: a board's session, or the replay of one. */
export type Watched = {
  readonly table: Table;
  /** The contract's text. */
  readonly contract: string;
  /** `board`: journalled as it happens. `replay`: is a recording already, by this number. */
  readonly origin: { readonly kind: 'board'; readonly link: string } | { readonly kind: 'replay'; readonly id: number };
};
