import type { Contract, Service } from '../model.ts';

/** The service in which the board tells its battery level; with one, charge matters. */
export function batteryService(contract: Contract): Service | undefined {
  return contract.services.find(
    (service) => service.uuid === '180F' || service.characteristics.some(({ uuid }) => uuid === '2A19'),
  );
}
