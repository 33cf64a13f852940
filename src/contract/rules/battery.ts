import type { Contract } from '../model.ts';

/** True when the board tells its battery level: then charge matters. */
export function runsOnBattery(contract: Contract): boolean {
  return contract.services.some(
    (service) => service.uuid === '180F' || service.characteristics.some(({ uuid }) => uuid === '2A19'),
  );
}
