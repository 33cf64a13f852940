import type { Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import { clientFeature } from '../../numbers/properties.ts';

const knownBits = clientFeature.robustCaching | clientFeature.enhancedBearer | clientFeature.multipleNotifications;

/** Features a client has before it writes any. */
export const noFeatures: Bytes = Uint8Array.of(0);

/** Octets a client may write; later versions of the standard may use more than the first. */
export const longestFeatures = 16;

export function hasFeature(features: Bytes, bit: number): boolean {
  return ((features[0] ?? 0) & bit) !== 0;
}

/** Error code for octets that cannot become the client's features: a bit once set stays set. */
export function featuresRefusal(current: Bytes, written: Bytes): number | undefined {
  if (written.length < 1 || written.length > longestFeatures) return attError.invalidAttributeValueLength;
  return ((current[0] ?? 0) & ~(written[0] ?? 0) & knownBits) === 0 ? undefined : attError.valueNotAllowed;
}

/** What is kept of the octets written: bits without a meaning are dropped. */
export function keptFeatures(written: Bytes): Bytes {
  return Uint8Array.of((written[0] ?? 0) & knownBits);
}
