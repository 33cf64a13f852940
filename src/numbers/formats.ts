/**
 * Format codes of the Characteristic Presentation Format descriptor, Core Vol 3 Part G 3.3.3.5.2.
 * Source: Bluetooth SIG Assigned Numbers, snapshot 2026-07, section 2.4.1. The contract's own words are the names; uint40 and
 * sint40 have no code.
 */
const rows: readonly (readonly [code: number, name: string, label: string])[] = [
  [0x01, 'boolean', 'boolean'],
  [0x02, 'uint2', 'uint2'],
  [0x03, 'uint4', 'uint4'],
  [0x04, 'uint8', 'uint8'],
  [0x05, 'uint12', 'uint12'],
  [0x06, 'uint16', 'uint16'],
  [0x07, 'uint24', 'uint24'],
  [0x08, 'uint32', 'uint32'],
  [0x09, 'uint48', 'uint48'],
  [0x0a, 'uint64', 'uint64'],
  [0x0b, 'uint128', 'uint128'],
  [0x0c, 'sint8', 'sint8'],
  [0x0d, 'sint12', 'sint12'],
  [0x0e, 'sint16', 'sint16'],
  [0x0f, 'sint24', 'sint24'],
  [0x10, 'sint32', 'sint32'],
  [0x11, 'sint48', 'sint48'],
  [0x12, 'sint64', 'sint64'],
  [0x13, 'sint128', 'sint128'],
  [0x14, 'float32', 'float32 (IEEE-754)'],
  [0x15, 'float64', 'float64 (IEEE-754)'],
  [0x16, 'medfloat16', 'medfloat16 (IEEE 11073 SFLOAT)'],
  [0x17, 'medfloat32', 'medfloat32 (IEEE 11073 FLOAT)'],
  [0x18, 'uint16-pair', 'uint16[2] (IEEE 20601)'],
  [0x19, 'utf8', 'utf8s'],
  [0x1a, 'utf16', 'utf16s'],
  [0x1b, 'struct', 'struct (opaque)'],
  [0x1c, 'med-asn1', 'medASN1'],
];

export type Format = { readonly code: number; readonly name: string; readonly label: string };

/** Ascending by code; 0x00 is reserved. */
export const formats: readonly Format[] = rows.map(([code, name, label]) => ({ code, name, label }));

const byName = new Map(formats.map((format) => [format.name, format]));
const byCode = new Map(formats.map((format) => [format.code, format]));

/** By the contract's word for the type: `uint16`, `medfloat32`, `utf8`, `struct`. */
export function formatByName(name: string): Format | undefined {
  return byName.get(name);
}

export function formatByCode(code: number): Format | undefined {
  return byCode.get(code);
}
