import { isShortUuid, longUuid } from '../../base/uuid.ts';
import { placeOf } from '../model.ts';
import { contractRule } from './rule.ts';
import { plain } from './sample.ts';

export const uuidBaseOfBluetooth = contractRule<Record<string, never>>(
  {
    code: 'uuid-base-of-bluetooth',
    severity: 'error',
    title: 'The Bluetooth Base UUID as a base',
    why: 'Each slot of this base is a 16-bit UUID in its long form, and those are assigned by the Bluetooth SIG alone.',
    source: 'Core Vol 3 Part B 2.5.1',
    bad: plain.replace('5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8', '00000000-0000-1000-8000-00805f9b34fb'),
    good: plain,
    message: () => '`uuid-base` is the Bluetooth Base UUID, whose slots belong to the Bluetooth SIG',
    hint: () => 'write a random UUID, such as any UUID generator makes (version 4), or `{ dns: YOUR DOMAIN NAME }`',
  },
  (contract, report) => {
    const { uuidBase, where } = contract;
    if (uuidBase === undefined) return;
    if (isShortUuid(uuidBase) || longUuid(uuidBase).endsWith('-0000-1000-8000-00805f9b34fb')) {
      report(placeOf(where, 'uuid-base'), {});
    }
  },
);
