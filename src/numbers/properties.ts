/** Characteristic property bits. Core Vol 3 Part G 3.3.1.1. */
export const property = {
  broadcast: 0x01,
  read: 0x02,
  writeWithoutResponse: 0x04,
  write: 0x08,
  notify: 0x10,
  indicate: 0x20,
  signedWrite: 0x40,
  extended: 0x80,
} as const;

/** Bits of the Characteristic Extended Properties descriptor. Core Vol 3 Part G 3.3.3.1. */
export const extendedProperty = { reliableWrite: 0x0001, writableAuxiliaries: 0x0002 } as const;

/** Bits of the Client Characteristic Configuration descriptor. Core Vol 3 Part G 3.3.3.3. */
export const clientConfiguration = { notify: 0x0001, indicate: 0x0002 } as const;

/** Bits of Client Supported Features, first octet. Core Vol 3 Part G 7.2. */
export const clientFeature = {
  robustCaching: 0x01,
  enhancedBearer: 0x02,
  multipleNotifications: 0x04,
} as const;

const words: readonly (readonly [bit: number, word: string])[] = [
  [property.broadcast, 'broadcast'],
  [property.read, 'read'],
  [property.writeWithoutResponse, 'write without response'],
  [property.write, 'write'],
  [property.notify, 'notify'],
  [property.indicate, 'indicate'],
  [property.signedWrite, 'signed write'],
  [property.extended, 'extended properties'],
];

/** The words of the bits that are set, lowest bit first. */
export function propertyWords(properties: number): readonly string[] {
  return words.filter(([bit]) => (properties & bit) !== 0).map(([, word]) => word);
}
