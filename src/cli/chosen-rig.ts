import { defaultRig } from '../board/default-rig.ts';
import type { Rig } from '../board/model.ts';
import { loadRig, loadRigFile } from '../links/load-rig.ts';
import type { Table } from '../table/model.ts';
import type { Input } from './command.ts';
import { must } from './open-contract.ts';

/**
 * The rig that `--rig` names: a module, `default` for the built-in one, or, left out, what lies beside the contract.
 *
 * @throws CannotRun when the module is no rig
 */
export async function chosenRig(input: Input, contractPath: string | undefined, table: Table): Promise<Rig<unknown>> {
  const named = input.option('rig');
  if (named === 'default') return defaultRig(table);
  return must(named === undefined ? await loadRig(contractPath, table) : await loadRigFile(named)).rig;
}
