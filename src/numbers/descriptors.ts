import { uuid16 } from '../base/uuid.ts';
import { assignedTable } from './assigned.ts';

/** GATT declarations: the attribute types that give a table its structure. Source: Bluetooth SIG Assigned Numbers, snapshot 2026-07, section 3.2. */
export const declarations = assignedTable([
  [0x2800, 'Primary Service'],
  [0x2801, 'Secondary Service'],
  [0x2802, 'Include'],
  [0x2803, 'Characteristic'],
]);

/** GATT descriptors. Source: Bluetooth SIG Assigned Numbers, snapshot 2026-07, section 3.7. */
export const descriptors = assignedTable([
  [0x2900, 'Characteristic Extended Properties'],
  [0x2901, 'Characteristic User Description'],
  [0x2902, 'Client Characteristic Configuration'],
  [0x2903, 'Server Characteristic Configuration'],
  [0x2904, 'Characteristic Presentation Format'],
  [0x2905, 'Characteristic Aggregate Format'],
  [0x2906, 'Valid Range'],
  [0x2907, 'External Report Reference'],
  [0x2908, 'Report Reference'],
  [0x2909, 'Number of Digitals'],
  [0x290a, 'Value Trigger Setting'],
  [0x290b, 'Environmental Sensing Configuration'],
  [0x290c, 'Environmental Sensing Measurement'],
  [0x290d, 'Environmental Sensing Trigger Setting'],
  [0x290e, 'Time Trigger Setting'],
  [0x290f, 'Complete BR-EDR Transport Block Data'],
  [0x2910, 'Observation Schedule'],
  [0x2911, 'Valid Range and Accuracy'],
  [0x2912, 'Measurement Description'],
  [0x2913, 'Manufacturer Limits'],
  [0x2914, 'Process Tolerances'],
  [0x2915, 'IMD Trigger Setting'],
  [0x2916, 'Cooking Sensor Info'],
  [0x2917, 'Cooking Trigger Setting'],
]);

/** The attribute types that the compiler, the server and the client know by name. Core Vol 3 Part G 3.1, 3.3.3. */
export const attributeType = {
  primaryService: uuid16(0x2800),
  secondaryService: uuid16(0x2801),
  include: uuid16(0x2802),
  characteristic: uuid16(0x2803),
  extendedProperties: uuid16(0x2900),
  userDescription: uuid16(0x2901),
  clientConfiguration: uuid16(0x2902),
  serverConfiguration: uuid16(0x2903),
  presentationFormat: uuid16(0x2904),
  aggregateFormat: uuid16(0x2905),
  validRange: uuid16(0x2906),
} as const;
