import { describe, expect, it } from 'vitest';
import { contractRecord } from './entities/contract.ts';
import { contractReference } from './reference.ts';
import { recordsFrom } from './shapes/walk.ts';

const text = contractReference();

describe('contractReference', () => {
  it('has a section for each record, and every key in a table', () => {
    for (const { id, fields } of recordsFrom(contractRecord)) {
      expect(text).toContain(`<a id="${id}"></a>`);
      for (const [key, field] of Object.entries(fields)) {
        expect(text).toContain(`| \`${key}\` | `);
        expect(text).toContain(field.doc);
      }
    }
  });

  it('links only to places that it has', () => {
    const anchors = new Set([...text.matchAll(/<a id="([^"]+)">/g)].map(([, id]) => id));
    for (const [, target] of text.matchAll(/\]\(#([^)]+)\)/g)) expect(anchors).toContain(target);
  });

  it('has tables whose rows have as many cells as their heads', () => {
    let cells = 0;
    for (const line of text.split('\n')) {
      if (!line.startsWith('|')) {
        cells = 0;
        continue;
      }
      const count = line.split(/(?<!\\)\|/).length;
      if (cells === 0) cells = count;
      expect([line, count]).toEqual([line, cells]);
    }
  });

  it('lists assigned names', () => {
    expect(text).toContain('| `degree celsius` | 0x272F | °C |');
    expect(text).toContain('| `temperature` | 0x2A6E | sint16 | -273.15 to 327.67 °C; unknown |');
    expect(text).toContain('| `battery` | 0x180F | `battery-level` (read, notify) |');
    expect(text).toContain('| `temperature-sensor` | 0x0543 |');
  });
});
