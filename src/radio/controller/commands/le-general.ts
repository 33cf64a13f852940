import { reversed } from '../../../base/bytes.ts';
import { greatestDataLength, leastDataLength } from '../../link/payload-limit.ts';
import { allPhys } from '../../link/procedures/phy.ts';
import { aesBlock } from '../../pdu/aes.ts';
import { refuse, within, type CommandHandlers } from '../answer.ts';
import type { Core } from '../core.ts';

/** Octets and time that LE Set Data Length and its default allow. Core Vol 4 Part E 7.8.33. */
export function allowedDataLength(octets: number, time: number): boolean {
  return (
    within(octets, leastDataLength.octets, greatestDataLength.octets) &&
    within(time, leastDataLength.time, greatestDataLength.time)
  );
}

/** PHYs that a host wants, as bits; `undefined`: the command asks for none, or for unknown ones. 7.8.48, 7.8.49. */
export function wishedPhys(none: boolean, phys: number): number | undefined {
  if (none) return allPhys;
  return within(phys, 1, allPhys) ? phys : undefined;
}

export const leGeneralHandlers: CommandHandlers<Core> = {
  'le-set-event-mask': (core, { mask }) => {
    core.set.leEventMask = mask;
    return {};
  },
  'le-read-buffer-size': (core) => ({ aclLength: core.aclLength, aclCount: core.aclCount }),
  'le-read-local-features': (core) => ({ features: core.features }),
  'le-read-supported-states': () => ({ states: Uint8Array.of(0xff, 0xff, 0xff, 0xff, 0xff, 0x03, 0, 0) }),
  'le-rand': (core) => ({ random: Uint8Array.from({ length: 8 }, () => core.random.int(256)) }),
  // HCI carries all three least significant octet first.
  'le-encrypt': (_, { key, plaintext }) => ({ encrypted: reversed(aesBlock(reversed(key), reversed(plaintext))) }),
  'le-read-default-data-length': (core) => ({
    txOctets: core.set.initialTxOctets,
    txTime: core.set.initialTxTime,
  }),
  'le-write-default-data-length': (core, { txOctets, txTime }) => {
    if (!allowedDataLength(txOctets, txTime)) return refuse('invalid-parameters');
    core.set.initialTxOctets = txOctets;
    core.set.initialTxTime = txTime;
    return {};
  },
  'le-read-max-data-length': () => ({
    txOctets: greatestDataLength.octets,
    txTime: greatestDataLength.time,
    rxOctets: greatestDataLength.octets,
    rxTime: greatestDataLength.time,
  }),
  'le-set-default-phy': (core, { allPhys: none, txPhys, rxPhys }) => {
    const tx = wishedPhys((none & 1) !== 0, txPhys);
    const rx = wishedPhys((none & 2) !== 0, rxPhys);
    if (tx === undefined || rx === undefined) return refuse('invalid-parameters');
    core.set.txPhys = tx;
    core.set.rxPhys = rx;
    return {};
  },
  // Private addresses are not resolved here: the list has no room at all.
  'le-read-resolving-list-size': () => ({ size: 0 }),
  'le-clear-resolving-list': () => ({}),
  'le-add-to-resolving-list': () => refuse('memory-exceeded'),
  'le-remove-from-resolving-list': () => refuse('unknown-connection'),
  'le-set-address-resolution-enable': (_, { enable }) => (enable > 1 ? refuse('invalid-parameters') : {}),
  'le-set-rpa-timeout': (_, { timeout }) => (within(timeout, 1, 3600) ? {} : refuse('invalid-parameters')),
};
