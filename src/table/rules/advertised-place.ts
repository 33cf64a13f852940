import type { SourceRange } from '../../base/text-range.ts';
import { placeOf, type Contract } from '../../contract/model.ts';

/** The contract's words behind something advertised, by what `table/advertising.ts` calls it. */
export function advertisedPlace(contract: Contract, what: string): SourceRange {
  const { board, radio } = contract;
  const { advertise } = radio;
  if (what.startsWith('name')) return placeOf(board.where, 'name');
  if (what.startsWith('appearance')) return placeOf(board.where, 'appearance');
  if (what.startsWith('manufacturer data')) return placeOf(advertise.where, 'manufacturer-data');
  if (what.startsWith('transmit power')) return placeOf(advertise.where, 'tx-power');
  if (advertise.where.keys.has('services')) return placeOf(advertise.where, 'services');
  const id = /`(.*)`/.exec(what)?.[1];
  const service = contract.services.find((entry) => entry.id === id);
  return service === undefined ? contract.where.self : placeOf(service.where, 'id');
}
