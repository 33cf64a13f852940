import type { Fault } from '../model.ts';
import { cachingFaults } from './caching.ts';
import { discoveryFaults } from './discovery.ts';
import { linkLossFaults } from './link-loss.ts';
import { longValueFaults } from './long-values.ts';
import { mtuFaults } from './mtu.ts';
import { notifyFaults } from './notify.ts';
import { protocolFaults } from './protocol.ts';
import { securityFaults } from './security.ts';
import { valueFaults } from './values.ts';
import { writeFaults } from './writes.ts';

/** Every planted fault, by theme. Names are unique. */
export const faults: readonly Fault[] = [
  ...valueFaults,
  ...writeFaults,
  ...notifyFaults,
  ...longValueFaults,
  ...linkLossFaults,
  ...cachingFaults,
  ...securityFaults,
  ...discoveryFaults,
  ...mtuFaults,
  ...protocolFaults,
];

export function faultByName(name: string): Fault | undefined {
  return faults.find((fault) => fault.name === name);
}
