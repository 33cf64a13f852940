import { describe, expect, test } from 'vitest';
import { isShortUuid, parseUuid } from '../base/uuid.ts';
import { kebab } from './assigned.ts';
import { characteristics } from './characteristics.ts';
import { attributeType, declarations, descriptors } from './descriptors.ts';
import { services } from './services.ts';

const tables = { services, characteristics, declarations, descriptors };

describe.each(Object.entries(tables))('%s', (_, table) => {
  test('ascend by code, without repeats', () => {
    const codes = table.all.map((entry) => entry.code);
    expect(codes).toEqual([...new Set(codes)].sort((a, b) => a - b));
  });

  test('have a name each that a contract can write, and are found by name and UUID', () => {
    for (const entry of table.all) {
      expect(entry.name).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
      expect(table.byName(entry.name)).toBe(entry);
      expect(table.byUuid(entry.uuid)).toBe(entry);
      expect(isShortUuid(entry.uuid)).toBe(true);
    }
  });
});

// Bluetooth SIG Assigned Numbers, snapshot 2026-07: how many there are, and the ones a laboratory meets most.
test('the tables are whole', () => {
  expect(Object.values(tables).map((table) => table.all.length)).toEqual([75, 504, 4, 24]);
});

test.each([
  [services, 'battery', '180F'],
  [services, 'device-information', '180A'],
  [services, 'environmental-sensing', '181A'],
  [characteristics, 'battery-level', '2A19'],
  [characteristics, 'temperature', '2A6E'],
  [characteristics, 'service-changed', '2A05'],
  [characteristics, 'pnp-id', '2A50'],
  [characteristics, 'co2-concentration', '2B8C'],
  [characteristics, 'peripheral-preferred-connection-parameters', '2A04'],
  [descriptors, 'valid-range', '2906'],
  [declarations, 'include', '2802'],
])('%o: %s is %s', (table, name, uuid) => {
  expect(table.byName(name)?.uuid).toBe(uuid);
});

test('the types the compiler uses are the assigned ones', () => {
  const known = [...declarations.all, ...descriptors.all].map((entry) => entry.uuid);
  for (const uuid of Object.values(attributeType)) expect(known).toContain(uuid);
  expect(descriptors.byUuid(attributeType.presentationFormat)?.label).toBe('Characteristic Presentation Format');
  expect(descriptors.byUuid(attributeType.clientConfiguration)?.label).toBe('Client Characteristic Configuration');
});

test('what is not assigned is not found', () => {
  expect(services.byName('battery-level')).toBeUndefined();
  expect(services.byUuid(parseUuid('6b1d0001-0f5e-4c3a-9a77-2f0c5b8e41d0')!)).toBeUndefined();
  expect(services.byName('constructor')).toBeUndefined();
});

test.each([
  ['Battery Level', 'battery-level'],
  ['Magnetic Flux Density - 2D', 'magnetic-flux-density-2d'],
  ['CO₂ Concentration', 'co2-concentration'],
  ['Door/Window Status', 'door-window-status'],
  ['Particulate Matter - PM2.5 Concentration', 'particulate-matter-pm2-5-concentration'],
])('kebab case of %s', (label, name) => {
  expect(kebab(label)).toBe(name);
});
