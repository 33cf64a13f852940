import { describe, expect, it } from 'vitest';
import type { Finding } from '../../base/finding.ts';
import { renderFindings } from '../../base/render-finding.ts';
import { places } from '../../../test/support/findings.ts';
import { parseContract } from '../../contract/parse.ts';
import { compileTable } from '../compile.ts';
import { tableRules } from './registry.ts';

/** Where each lint points in its own bad example: line and column, both from 1. */
const expected: Readonly<Record<string, string>> = {
  'label-long-read': '10:16',
  'long-read': '14:17',
  'long-write': '14:17',
  'no-service-advertised': '7:26',
  'not-advertised': '3:9',
  'notification-cut': '14:17',
  'notification-cut-at-default': '14:17',
  'notification-never-fits': '13:15',
  'only-in-scan-response': '3:9',
  'packet-longer-than-interval': '7:62',
  'rate-beyond-air': '15:17',
  'rate-beyond-phones': '15:17',
  'value-in-pieces': '15:17',
  'value-too-long': '11:15',
  'write-command-too-long': '14:17',
};

/** Only what the one lint finds. */
function search(code: string, text: string): readonly Finding[] {
  const { value: contract, findings } = parseContract(text);
  expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  const table = contract === undefined ? undefined : compileTable(contract).value;
  const rule = tableRules.find(({ doc }) => doc.code === code);
  if (contract === undefined || table === undefined || rule === undefined) return [];
  return rule.check({ contract, table }, text);
}

describe.each(tableRules.map(({ doc }) => doc))('$code', (doc) => {
  it('points at the place in its bad example, and nowhere else', () => {
    expect(places(search(doc.code, doc.bad), doc.bad)).toEqual([`${expected[doc.code] ?? 'no place'} ${doc.code}`]);
  });

  it('has no word about its good example', () => {
    expect(search(doc.code, doc.good)).toEqual([]);
  });
});

describe('the lints of the table', () => {
  it('say all this of their bad examples', async () => {
    const texts = tableRules.map(({ doc }) => renderFindings(search(doc.code, doc.bad), `${doc.code}.yaml`, doc.bad));
    await expect(texts.join('\n\n') + '\n').toMatchFileSnapshot('golden/findings.txt');
  });
});
