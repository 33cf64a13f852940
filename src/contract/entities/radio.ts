import { us } from '../../base/quantity.ts';
import type { Phy, TimeRange } from '../model.ts';
import { list } from '../shapes/composite.ts';
import { time, timeRange } from '../shapes/quantities.ts';
import { byDefault, optional, record, required, whole, type Draft } from '../shapes/record.ts';
import { hexBytes, id, whole as wholeNumber, word } from '../shapes/scalars.ts';
import { map } from '../shapes/shape.ts';
import { waiveField } from './waiver.ts';

const exactly = (ms: number): TimeRange => ({ min: us(ms * 1000), max: us(ms * 1000) });

/** Legacy and extended advertising: 20 ms to 10 485.759375 s in steps of 0.625 ms. Core Vol 4 Part E 7.8.5 and 7.8.53. */
const advertisingInterval = timeRange({ min: us(20_000), max: us(10_485_759_375), step: us(625) });

/** 7.5 ms to 4 s in steps of 1.25 ms. Core Vol 6 Part B 4.5.1. */
const connectionInterval = timeRange({ min: us(7_500), max: us(4_000_000), step: us(1_250) });

/** 100 ms to 32 s in steps of 10 ms. Core Vol 6 Part B 4.5.2. */
const supervisionTimeout = time({ min: us(100_000), max: us(32_000_000), step: us(10_000) });

const manufacturerData = record(
  { id: 'manufacturer-data', called: 'manufacturer data', intro: 'Manufacturer specific data in the advertising.' },
  {
    company: required(
      wholeNumber(0, 0xffff, { hex: true }),
      'Company identifier; 0xFFFF for trials inside a house.',
      '0xFFFF',
    ),
    data: required(hexBytes(27), 'The octets behind the company identifier.', '"01 a0"'),
  },
);

export const advertiseRecord = record(
  { id: 'advertise', called: 'an `advertise` mapping', intro: 'How the board lets itself be found.' },
  {
    interval: byDefault(
      advertisingInterval,
      exactly(100),
      '100 ms',
      'Advertising interval, in steps of 0.625 ms.',
      '[100 ms, 150 ms]',
    ),
    name: byDefault(
      word(['auto', 'advertising', 'scan-response', 'none'], 'a place for the name'),
      'auto',
      'auto',
      'Where the name goes; `auto` is the advertising data if it fits there, else the scan response.',
      'scan-response',
    ),
    services: optional(
      list(id, 'a list of service ids', { distinct: true }),
      "the first of the contract's own services",
      'Ids of the services whose UUIDs are advertised.',
      '[tank]',
    ),
    'tx-power': optional(wholeNumber(-127, 127, { unit: 'dBm' }), 'not advertised', 'Transmit power in dBm.', '0'),
    'manufacturer-data': optional(
      map(whole(manufacturerData), ({ company, data }) => ({ company, data })),
      'none',
      'Manufacturer specific data.',
      '{ company: 0xFFFF, data: "01 a0" }',
    ),
  },
);

const phys: readonly Phy[] = ['1M', '2M', 'coded-s2', 'coded-s8'];

export const connectionRecord = record(
  {
    id: 'connection',
    called: 'a `connection` mapping',
    intro: 'The connection that the board asks for and counts on.',
  },
  {
    interval: byDefault(
      connectionInterval,
      exactly(30),
      '30 ms',
      'Connection interval, in steps of 1.25 ms.',
      '[20 ms, 40 ms]',
    ),
    latency: byDefault(wholeNumber(0, 499), 0, '0', 'Connection events that the board may sleep through.', '4'),
    timeout: byDefault(supervisionTimeout, us(4_000_000), '4 s', 'Supervision timeout, in steps of 10 ms.', '6 s'),
    mtu: byDefault(
      wholeNumber(23, 517),
      23,
      '23',
      'The ATT MTU that the contract counts on, in octets; 23 is no promise.',
      '185',
    ),
    phy: byDefault(word(phys, 'a PHY'), '1M', '1M', 'The physical layer: `1M`, `2M`, `coded-s2` or `coded-s8`.', '2M'),
    'data-length': byDefault(
      wholeNumber(27, 251),
      27,
      '27',
      'Largest payload of a link-layer packet, in octets.',
      '251',
    ),
  },
);

export const radioRecord = record(
  { id: 'radio', called: 'a `radio` mapping', intro: 'Advertising and connection.' },
  {
    advertise: optional(advertiseRecord, 'all defaults', 'How the board lets itself be found.', '{ interval: 100 ms }'),
    connection: optional(
      connectionRecord,
      'all defaults',
      'The connection that the board asks for.',
      '{ interval: 30 ms, mtu: 185 }',
    ),
    waive: waiveField,
  },
);

export type RadioDraft = Draft<typeof radioRecord.fields>;
