import {
  isGiven,
  placeOf,
  type AccessWord,
  type Characteristic,
  type Contract,
  type Service,
} from '../contract/model.ts';
import { property } from '../numbers/properties.ts';
import { descriptorsOf, extendedBits } from './descriptors.ts';
import type { PlannedCharacteristic, PlannedService } from './plan.ts';
import { valuePermissions } from './permissions.ts';

const propertyOf: Readonly<Record<AccessWord, number>> = {
  read: property.read,
  write: property.write,
  'write-without-response': property.writeWithoutResponse,
  notify: property.notify,
  indicate: property.indicate,
};

/** The contract's services as plans; values are numbered in the order of the text. */
export function planContract(contract: Contract): readonly PlannedService[] {
  const ids = new Set(contract.services.map((service) => service.id));
  let index = 0;
  return contract.services.map((service): PlannedService => {
    const { id, label, uuid, secondary, handles, where } = service;
    return {
      id,
      label,
      uuid,
      secondary,
      // An id of no service is a finding of the contract's own rules.
      includes: service.includes.filter((included) => ids.has(included)),
      from: handles.from,
      reserve: handles.reserve,
      characteristics: service.characteristics.map((characteristic) =>
        planCharacteristic(characteristic, service, index++),
      ),
      generic: false,
      at: where.self,
      includesAt: placeOf(where, 'includes'),
      handlesAt: isGiven(where, 'handles') ? placeOf(where, 'handles') : where.self,
    };
  });
}

function planCharacteristic(characteristic: Characteristic, service: Service, index: number): PlannedCharacteristic {
  const { id, label, uuid, access, where } = characteristic;
  const extended = extendedBits(characteristic) === 0 ? 0 : property.extended;
  return {
    id,
    label,
    uuid,
    properties: access.reduce((bits, word) => bits | propertyOf[word], extended),
    permissions: valuePermissions(characteristic),
    content: { kind: 'value', index },
    descriptors: descriptorsOf(characteristic, service),
    at: where.self,
  };
}
