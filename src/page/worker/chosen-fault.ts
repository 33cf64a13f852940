import type { Fault } from '../../board/model.ts';
import { faultByName } from '../../board/faults/registry.ts';

/** The planted faults of these names as one; unknown names are left out. `undefined` for none. */
export function chosenFault(names: readonly string[]): Fault | undefined {
  const chosen = names.map(faultByName).filter((fault) => fault !== undefined);
  if (chosen.length === 0) return undefined;
  return {
    name: chosen.map(({ name }) => name).join('+'),
    about: chosen.map(({ about }) => about).join('; '),
    symptom: chosen.map(({ symptom }) => symptom).join('; '),
    table: (table) => chosen.reduce((changed, fault) => fault.table?.(changed) ?? changed, table),
    wrap: (reducer, table) => chosen.reduce((wrapped, fault) => fault.wrap?.(wrapped, table) ?? wrapped, reducer),
  };
}
