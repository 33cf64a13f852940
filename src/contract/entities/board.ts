import { appearance } from '../shapes/names.ts';
import { byDefault, optional, record, required, type Draft } from '../shapes/record.ts';
import { line } from '../shapes/scalars.ts';

/** Octets of a Device Name. Core Vol 3 Part C 12.1. */
export const longestName = 248;

const information = (doc: string, example: string) => optional(line(100), 'not told', doc, example);

export const boardRecord = record(
  {
    id: 'board',
    called: 'a board',
    intro:
      'What the board calls itself. If any of `maker`, `model`, `serial`, `hardware`, `firmware` and `software` is given, the table gets a Device Information service with what was given.',
  },
  {
    name: required(line(longestName), 'Device name; `{unit}` in it is replaced by `unit`.', 'Tank {unit}'),
    unit: byDefault(line(32, 0), '', '""', 'Which of several like boards this is.', '"01"'),
    appearance: byDefault(
      appearance,
      0,
      '0',
      'What kind of device it is: a number, or its assigned name.',
      'generic-sensor',
    ),
    maker: information('Manufacturer Name String.', 'Tideworks Bench'),
    model: information('Model Number String.', 'Desk wave tank'),
    serial: information('Serial Number String.', '"0042"'),
    hardware: information('Hardware Revision String.', 'rev B'),
    firmware: information('Firmware Revision String.', '"1.0"'),
    software: information('Software Revision String.', '"2026.1"'),
  },
);

export type BoardDraft = Draft<typeof boardRecord.fields>;
