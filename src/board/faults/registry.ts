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

/** Faults that concern one thing; `theme` is a heading. */
export type FaultTheme = { readonly theme: string; readonly faults: readonly Fault[] };

/** Every planted fault, by theme. Names are unique. */
export const faultThemes: readonly FaultTheme[] = [
  { theme: 'Values', faults: valueFaults },
  { theme: 'Writes and refusals', faults: writeFaults },
  { theme: 'Notifications and indications', faults: notifyFaults },
  { theme: 'Long values', faults: longValueFaults },
  { theme: 'Link loss', faults: linkLossFaults },
  { theme: 'Caching', faults: cachingFaults },
  { theme: 'Security', faults: securityFaults },
  { theme: 'Discovery and advertising', faults: discoveryFaults },
  { theme: 'MTU', faults: mtuFaults },
  { theme: 'Protocol', faults: protocolFaults },
];

/** Every planted fault, in the order of the themes. */
export const faults: readonly Fault[] = faultThemes.flatMap((theme) => theme.faults);

export function faultByName(name: string): Fault | undefined {
  return faults.find((fault) => fault.name === name);
}
