import { bug } from '../base/bug.ts';
import type { Bytes } from '../base/bytes.ts';
import type { Checked } from '../base/finding.ts';
import type { Contract } from '../contract/model.ts';
import { lengthRange } from '../values/codec.ts';
import { advertise } from './advertising.ts';
import { databaseHash } from './database-hash.ts';
import { databaseHashName, planGap, planGatt } from './generic-services.ts';
import type { Row, ServiceEntry, Table, ValueDefinition } from './model.ts';
import { placeServices } from './place-services.ts';
import { planContract } from './plan-contract.ts';
import { serviceRows, type PlacedService } from './service-rows.ts';

/**
 * Turns a contract into its table: GAP first, then GATT, then the contract's services in the order of the text. The
 * same contract always gives the same table.
 *
 * @returns findings about handles; a table also where a pin was moved, none where the handles ran out
 */
export function compileTable(contract: Contract): Checked<Table> {
  const generic = [planGap(contract), planGatt(contract)];
  const planned = [...generic, ...planContract(contract)];
  const { ranges, findings } = placeServices(planned);
  if (ranges.length < planned.length) return { value: undefined, findings };

  const placed = planned.map((service, i): PlacedService => {
    const range = ranges[i];
    bug(range !== undefined, `service ${service.id} has no handles`);
    return { service, range };
  });
  const byId = new Map<string, PlacedService>();
  for (const own of placed.slice(generic.length)) {
    // Two services with one id are an error of the contract; the first is as good as the other.
    if (!byId.has(own.service.id)) byId.set(own.service.id, own);
  }
  const built = placed.map(({ service, range }) => serviceRows(service, range, byId));
  const services = built.map(({ entry }) => entry);
  const rows = built.flatMap((each) => each.rows);
  const hash = databaseHash(rows);
  const { board, radio } = contract;
  const table: Table = {
    board: { name: board.name, unit: board.unit, appearance: board.appearance, information: board.information },
    radio,
    rows: withHash(rows, services, hash.onAir),
    services,
    values: valueDefinitions(contract, services.slice(generic.length)),
    databaseHash: hash,
    ...advertise(contract),
  };
  return { value: table, findings };
}

/** The rows with the hash as the value of Database Hash; values do not enter the hash. */
function withHash(rows: readonly Row[], services: readonly ServiceEntry[], bytes: Bytes): readonly Row[] {
  const gatt = services[1];
  const handle = gatt?.characteristics.find(({ id }) => id === databaseHashName)?.value;
  return rows.map((row) => (row.handle === handle ? { ...row, content: { kind: 'constant', bytes } } : row));
}

function valueDefinitions(contract: Contract, entries: readonly ServiceEntry[]): readonly ValueDefinition[] {
  return contract.services.flatMap((service, i) =>
    service.characteristics.map((characteristic, j): ValueDefinition => {
      const entry = entries[i]?.characteristics[j];
      bug(entry?.index !== undefined, `no entry for ${characteristic.id}`);
      const { id, label, uuid, type, access, needs, notify, start, onLinkLoss, drive, actuator, refuseWith, where } =
        characteristic;
      const length = lengthRange(type);
      return {
        index: entry.index,
        id,
        label,
        service: service.id,
        uuid,
        handle: entry.value,
        cccd: entry.cccd,
        type,
        access,
        needs,
        notify,
        minLength: length.min,
        maxLength: length.max,
        start,
        onLinkLoss,
        drive,
        actuator,
        refuseWith,
        at: where.self,
      };
    }),
  );
}
