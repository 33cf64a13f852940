import type { Compiled } from '../../table/compiled.ts';
import type { Table } from '../../table/model.ts';

/** All of a checked contract that a running board and the page around it need. */
export type BoardPlan = {
  readonly table: Table;
  /** By service id: whether the contract defines it, uses it, or says it with the board's information. */
  readonly origins: Readonly<Record<string, Compiled['contract']['services'][number]['origin']>>;
};

export function planOf({ contract, table: whole }: Compiled): BoardPlan {
  // What found no room in the advertising data is for the sheet.
  const { advertising, scanResponse } = whole;
  const table = { ...whole, advertising: { ...advertising, cut: [] }, scanResponse: { ...scanResponse, cut: [] } };
  return { table, origins: Object.fromEntries(contract.services.map(({ id, origin }) => [id, origin])) };
}
