/** AD types: what a piece of advertising data is. Source: Bluetooth SIG Assigned Numbers, snapshot 2026-07, section 2.3. */
const rows: readonly (readonly [type: number, label: string])[] = [
  [0x01, 'Flags'],
  [0x02, 'Incomplete List of 16-bit Service Class UUIDs'],
  [0x03, 'Complete List of 16-bit Service Class UUIDs'],
  [0x04, 'Incomplete List of 32-bit Service Class UUIDs'],
  [0x05, 'Complete List of 32-bit Service Class UUIDs'],
  [0x06, 'Incomplete List of 128-bit Service Class UUIDs'],
  [0x07, 'Complete List of 128-bit Service Class UUIDs'],
  [0x08, 'Shortened Local Name'],
  [0x09, 'Complete Local Name'],
  [0x0a, 'Tx Power Level'],
  [0x0d, 'Class of Device'],
  [0x0e, 'Simple Pairing Hash C-192'],
  [0x0f, 'Simple Pairing Randomizer R-192'],
  [0x10, 'Device ID / Security Manager TK Value'],
  [0x11, 'Security Manager Out of Band Flags'],
  [0x12, 'Peripheral Connection Interval Range'],
  [0x14, 'List of 16-bit Service Solicitation UUIDs'],
  [0x15, 'List of 128-bit Service Solicitation UUIDs'],
  [0x16, 'Service Data - 16-bit UUID'],
  [0x17, 'Public Target Address'],
  [0x18, 'Random Target Address'],
  [0x19, 'Appearance'],
  [0x1a, 'Advertising Interval'],
  [0x1b, 'LE Bluetooth Device Address'],
  [0x1c, 'LE Role'],
  [0x1d, 'Simple Pairing Hash C-256'],
  [0x1e, 'Simple Pairing Randomizer R-256'],
  [0x1f, 'List of 32-bit Service Solicitation UUIDs'],
  [0x20, 'Service Data - 32-bit UUID'],
  [0x21, 'Service Data - 128-bit UUID'],
  [0x22, 'LE Secure Connections Confirmation Value'],
  [0x23, 'LE Secure Connections Random Value'],
  [0x24, 'URI'],
  [0x25, 'Indoor Positioning'],
  [0x26, 'Transport Discovery Data'],
  [0x27, 'LE Supported Features'],
  [0x28, 'Channel Map Update Indication'],
  [0x29, 'PB-ADV'],
  [0x2a, 'Mesh Message'],
  [0x2b, 'Mesh Beacon'],
  [0x2c, 'BIGInfo'],
  [0x2d, 'Broadcast Code'],
  [0x2e, 'Resolvable Set Identifier'],
  [0x2f, 'Advertising Interval - long'],
  [0x30, 'Broadcast Name'],
  [0x31, 'Encrypted Advertising Data'],
  [0x32, 'Periodic Advertising Response Timing Information'],
  [0x34, 'Electronic Shelf Label'],
  [0x3d, '3D Information Data'],
  [0xff, 'Manufacturer Specific Data'],
];

const labels = new Map(rows);

/** The types that boards of ours advertise. */
export const adType = {
  flags: 0x01,
  incompleteUuids16: 0x02,
  completeUuids16: 0x03,
  incompleteUuids128: 0x06,
  completeUuids128: 0x07,
  shortenedName: 0x08,
  completeName: 0x09,
  txPower: 0x0a,
  appearance: 0x19,
  manufacturerData: 0xff,
} as const;

/** Bits of the Flags AD type. Core Specification Supplement Part A 1.3. */
export const adFlag = { limitedDiscoverable: 0x01, generalDiscoverable: 0x02, noBrEdr: 0x04 } as const;

/** `Complete Local Name`; `undefined` for a type that is not assigned. */
export function adTypeLabel(type: number): string | undefined {
  return labels.get(type);
}

/** All assigned types, ascending. */
export const adTypes: readonly number[] = rows.map(([type]) => type);
