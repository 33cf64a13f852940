import { u16le } from '../base/bytes.ts';
import { isGiven, type Characteristic, type Service } from '../contract/model.ts';
import { attributeType } from '../numbers/descriptors.ts';
import { clientConfiguration, extendedProperty } from '../numbers/properties.ts';
import { encodeUtf8, truncateUtf8 } from '../values/utf8.ts';
import type { Content } from './model.ts';
import type { PlannedDescriptor } from './plan.ts';
import { configurable, readOnly } from './permissions.ts';
import { presentationFormat } from './presentation-format.ts';
import { validRange } from './valid-range.ts';

/** Octets of an attribute value at most. Core Vol 3 Part F 3.2.9. */
export const longestValue = 512;

/**
 * The descriptors that come by themselves, in the order of their handles. The standard leaves the order free (Core Vol 3
 * Part G 3.3.3); ours is that of its worked database-hash example, client configuration before extended properties, so
 * that the configuration always stands right behind the value; then what is for people, then what is for programs.
 */
export function descriptorsOf(characteristic: Characteristic, service: Service): readonly PlannedDescriptor[] {
  const descriptors: PlannedDescriptor[] = [];
  const constant = (type: PlannedDescriptor['type'], what: string, bytes: Uint8Array | undefined): void => {
    if (bytes === undefined) return;
    descriptors.push({ type, permissions: readOnly, content: { kind: 'constant', bytes }, what });
  };

  const { access, needs } = characteristic;
  if (access.includes('notify') || access.includes('indicate')) {
    descriptors.push(
      clientConfigurationOf(access.includes('notify'), access.includes('indicate'), configurable(needs.subscribe)),
    );
  }

  const extended = extendedBits(characteristic);
  if (extended !== 0) constant(attributeType.extendedProperties, 'extended properties', u16le(extended));

  if (isDescribed(characteristic)) descriptors.push(userDescription(characteristic));
  // The Device Information service's texts are what their numbers say, and its specification knows no descriptors.
  if (service.origin === 'board-information') return descriptors;
  constant(attributeType.presentationFormat, 'presentation format', presentationFormat(characteristic.type));
  constant(attributeType.validRange, 'valid range', validRange(characteristic.type));
  return descriptors;
}

/** A Client Characteristic Configuration for the value before it. Core Vol 3 Part G 3.3.3.3. */
export function clientConfigurationOf(
  notify: boolean,
  indicate: boolean,
  permissions = configurable('open'),
): PlannedDescriptor {
  const allowed = (notify ? clientConfiguration.notify : 0) | (indicate ? clientConfiguration.indicate : 0);
  return {
    type: attributeType.clientConfiguration,
    permissions,
    content: { kind: 'cccd-of-value', allowed },
    what: 'client configuration',
  };
}

/** Bits of the Extended Properties descriptor; 0: the characteristic has none. */
export function extendedBits({ reliableWrite, writableLabel }: Characteristic): number {
  return (
    (reliableWrite ? extendedProperty.reliableWrite : 0) | (writableLabel ? extendedProperty.writableAuxiliaries : 0)
  );
}

/** An adopted characteristic's assigned number says already what its label would, unless the contract gives another. */
function isDescribed(characteristic: Characteristic): boolean {
  return characteristic.adopted === undefined || characteristic.writableLabel || isGiven(characteristic.where, 'label');
}

function userDescription({ label, writableLabel, needs }: Characteristic): PlannedDescriptor {
  const bytes = truncateUtf8(encodeUtf8(label), longestValue);
  const content: Content = { kind: writableLabel ? 'description' : 'constant', bytes };
  const permissions = writableLabel ? configurable(needs.write) : readOnly;
  return { type: attributeType.userDescription, permissions, content, what: 'user description' };
}
