import type { AdoptedType } from './adopted-type.ts';

/**
 * One line of the format tables: the format, and whether it was read in a public document that quotes the standard
 * (`seen`) or is from memory (`memory`). Source of all: GATT Specification Supplement, section 3.
 */
export type AdoptedFormat = { readonly type: AdoptedType; readonly certainty: 'seen' | 'memory' };

export const seen = (type: AdoptedType): AdoptedFormat => ({ type, certainty: 'seen' });
export const fromMemory = (type: AdoptedType): AdoptedFormat => ({ type, certainty: 'memory' });
