import type { Contract } from '../contract/model.ts';
import type { Table } from './model.ts';

/** A contract and the table made from it. */
export type Compiled = { readonly contract: Contract; readonly table: Table };
