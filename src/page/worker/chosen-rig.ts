import waveTank from '../../../examples/wave-tank/rig.ts';
import type { Rig } from '../../board/model.ts';
import type { Table } from '../../table/model.ts';
import type { RigWord } from './protocol.ts';

/** What the wave tank's world reads and sets, and of which kind: a contract that has all of it can have that world. */
const waveTankValues: Readonly<Record<string, string>> = {
  crests: 'integer',
  paddle: 'integer',
  level: 'integer',
  water: 'integer',
  light: 'boolean',
  dye: 'enum',
  note: 'text',
  calibration: 'struct',
  'battery-level': 'integer',
};

export type ChosenRig = { readonly word: RigWord; readonly rig: Rig<unknown> };

/** The world behind a board of this table: the wave tank's where the contract is one, else what every contract gets. */
export async function chosenRig(table: Table): Promise<ChosenRig> {
  const kinds = new Map(table.values.map(({ id, type }) => [id, type.kind]));
  const isTank = Object.entries(waveTankValues).every(([id, kind]) => kinds.get(id) === kind);
  if (isTank) return { word: 'wave-tank', rig: waveTank };
  // Fetched when a contract is not the demo's.
  const { defaultRig } = await import('../../board/default-rig.ts');
  return { word: 'default', rig: defaultRig(table) };
}
