import { kebab } from './assigned.ts';

/**
 * Appearance values: category (upper 10 bits) x 64 + subcategory (lower 6 bits).
 * Source: Bluetooth SIG Assigned Numbers, snapshot 2026-07, section 2.6. Subcategories are here for sensors only; of
 * other categories a contract can give any value by number.
 */

/** Category numbers and what the SIG calls them. */
const categories: readonly (readonly [category: number, label: string])[] = [
  [0x00, 'Unknown'],
  [0x01, 'Phone'],
  [0x02, 'Computer'],
  [0x03, 'Watch'],
  [0x04, 'Clock'],
  [0x05, 'Display'],
  [0x06, 'Remote control'],
  [0x07, 'Eye glasses'],
  [0x08, 'Tag'],
  [0x09, 'Keyring'],
  [0x0a, 'Media player'],
  [0x0b, 'Barcode scanner'],
  [0x0c, 'Thermometer'],
  [0x0d, 'Heart rate sensor'],
  [0x0e, 'Blood pressure'],
  [0x0f, 'Human interface device'],
  [0x10, 'Glucose meter'],
  [0x11, 'Running walking sensor'],
  [0x12, 'Cycling'],
  [0x13, 'Control device'],
  [0x14, 'Network device'],
  [0x15, 'Sensor'],
  [0x16, 'Light fixtures'],
  [0x17, 'Fan'],
  [0x18, 'HVAC'],
  [0x19, 'Air conditioning'],
  [0x1a, 'Humidifier'],
  [0x1b, 'Heating'],
  [0x1c, 'Access control'],
  [0x1d, 'Motorized device'],
  [0x1e, 'Power device'],
  [0x1f, 'Light source'],
  [0x20, 'Window covering'],
  [0x21, 'Audio sink'],
  [0x22, 'Audio source'],
  [0x23, 'Motorized vehicle'],
  [0x24, 'Domestic appliance'],
  [0x25, 'Wearable audio device'],
  [0x26, 'Aircraft'],
  [0x27, 'AV equipment'],
  [0x28, 'Display equipment'],
  [0x29, 'Hearing aid'],
  [0x2a, 'Gaming'],
  [0x2b, 'Signage'],
  [0x31, 'Pulse oximeter'],
  [0x32, 'Weight scale'],
  [0x33, 'Personal mobility device'],
  [0x34, 'Continuous glucose monitor'],
  [0x35, 'Insulin pump'],
  [0x36, 'Medication delivery'],
  [0x37, 'Spirometer'],
  [0x51, 'Outdoor sports activity'],
];

const sensorCategory = 0x15;

/** Subcategories of the category Sensor. */
const sensors: readonly (readonly [subcategory: number, label: string])[] = [
  [0x00, 'Generic sensor'],
  [0x01, 'Motion sensor'],
  [0x02, 'Air quality sensor'],
  [0x03, 'Temperature sensor'],
  [0x04, 'Humidity sensor'],
  [0x05, 'Leak sensor'],
  [0x06, 'Smoke sensor'],
  [0x07, 'Occupancy sensor'],
  [0x08, 'Contact sensor'],
  [0x09, 'Carbon monoxide sensor'],
  [0x0a, 'Carbon dioxide sensor'],
  [0x0b, 'Ambient light sensor'],
  [0x0c, 'Energy sensor'],
  [0x0d, 'Color light sensor'],
  [0x0e, 'Rain sensor'],
  [0x0f, 'Fire sensor'],
  [0x10, 'Wind sensor'],
  [0x11, 'Proximity sensor'],
  [0x12, 'Multi sensor'],
  [0x13, 'Flush mounted sensor'],
  [0x14, 'Ceiling mounted sensor'],
  [0x15, 'Wall mounted sensor'],
  [0x16, 'Multisensor'],
  [0x17, 'Energy meter'],
  [0x18, 'Flame detector'],
  [0x19, 'Vehicle tire pressure sensor'],
];

export type Appearance = {
  /** 0x0000..0xFFFF */
  readonly value: number;
  /** As contracts write it: `temperature-sensor`. */
  readonly name: string;
  readonly label: string;
};

/** All values with a name: each category's generic value, and the sensors. Ascending. */
export const appearances: readonly Appearance[] = categories.flatMap(([category, label]) =>
  category === sensorCategory
    ? sensors.map(([sub, name]) => appearance(category * 64 + sub, name))
    : [appearance(category * 64, label)],
);

function appearance(value: number, label: string): Appearance {
  return { value, name: kebab(label), label };
}

const byName = new Map(appearances.map((entry) => [entry.name, entry]));

/**
 * Finds `temperature-sensor`, `thermometer`, or a category's generic value as `generic-thermometer`; blanks may stand for
 * hyphens, case does not count. `sensor` is `generic-sensor`.
 */
export function appearanceByName(text: string): Appearance | undefined {
  const name = kebab(text);
  return byName.get(name) ?? byName.get(name.replace(/^generic-/, '')) ?? byName.get(`generic-${name}`);
}

/** What a value means, for people: `Temperature sensor`, `Thermometer, subcategory 2`, `not assigned`. */
export function appearanceLabel(value: number): string {
  const named = appearances.find((entry) => entry.value === value);
  if (named !== undefined) return named.label;
  const category = categories.find(([number]) => number === value >> 6);
  return category === undefined ? 'not assigned' : `${category[1]}, subcategory ${value & 0x3f}`;
}
