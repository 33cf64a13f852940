import { describe, expect, it } from 'vitest';
import type { Finding } from '../../base/finding.ts';
import { renderFindings } from '../../base/render-finding.ts';
import { places } from '../../../test/support/findings.ts';
import { parseContract } from '../parse.ts';
import { contractRules } from './registry.ts';

/** Where each lint points in its own bad example: line and column, both from 1. */
const expected: Readonly<Record<string, string>> = {
  'actuator-both-writes': '13:17',
  'actuator-open': '12:17',
  'actuator-unguarded': '9:13',
  'actuator-unreadable': '12:17',
  'actuator-without-failsafe': '9:13',
  'actuator-without-range': '11:15',
  'adc-writable': '16:17',
  'adopted-access-differs': '12:17',
  'adopted-format-differs': '12:15',
  'adopted-format-unlike': '12:15',
  'advertises-secondary': '7:26',
  'advertising-beyond-legacy': '7:26',
  'advertising-fast-on-battery': '7:26',
  'advertising-slow': '7:26',
  'appearance-not-assigned': '5:15',
  'authenticated-needs-io': '14:16',
  'company-for-tests': '7:35',
  'connection-fast-on-battery': '7:27',
  'drive-beyond-span': '13:16',
  'drive-coarser-than-code': '17:16',
  'drive-near-nyquist': '16:16',
  'drive-not-writable': '18:16',
  'drive-too-coarse': '18:16',
  'failsafe-at-maximum': '17:23',
  'failsafe-late': '15:23',
  'failsafe-not-writable': '13:23',
  'float-without-range': '11:15',
  'format-not-sayable': '12:16',
  'generic-service-given': '8:11',
  'include-cycle': '8:15',
  'indicate-too-fast': '13:17',
  'instance-without-label': '14:16',
  'label-empty': '10:16',
  'label-open': '13:19',
  'label-repeated': '14:16',
  'label-unit-differs': '10:16',
  'latency-delays-writes': '7:44',
  'mtu-beyond-packet': '7:22',
  'name-not-advertised': '7:22',
  'name-without-unit': '3:9',
  'needs-without-access': '13:16',
  'notify-unreadable': '12:17',
  'notify-without-rate': '13:17',
  'one-value-only': '11:15',
  'outside-phone-guidelines': '7:27',
  'percentage-as-fraction': '14:16',
  'period-below-bound': '13:17',
  'period-below-interval': '15:17',
  'phy-rarely-supported': '7:22',
  'pinned-without-reserve': '8:14',
  'poll-only': '14:17',
  'range-between-codes': '13:16',
  'refuse-with-unused': '13:22',
  'reliable-write-unused': '14:19',
  'resolution-too-coarse': '15:15',
  'secondary-not-included': '13:16',
  'service-empty': '12:9',
  'special-in-range': '14:18',
  'start-not-at-rest': '14:16',
  'step-between-codes': '15:15',
  'struct-padded-in-c': '12:11',
  'struct-unused-bits': '12:11',
  'subscribe-weaker-than-read': '15:16',
  'supervision-too-short': '7:55',
  'text-shorter-than-character': '12:17',
  'type-too-narrow': '11:15',
  'unit-missing': '12:16',
  'unit-not-filled': '3:9',
  'unit-not-shown': '4:9',
  'utf16-odd-length': '12:17',
  'uuid-base-of-bluetooth': '5:12',
  'uuid-base-slot-set': '5:12',
  'uuid-made-by-hand': '5:12',
  'uuid-not-assigned': '8:11',
  'uuid-of-member': '8:11',
  'uuid-of-other-kind': '11:15',
  'uuid-repeated': '16:15',
  'uuid-with-two-formats': '16:15',
  'write-may-be-lost': '12:17',
  'write-weaker-than-read': '15:16',
};

/** Only what the one lint finds. */
function search(code: string, text: string): readonly Finding[] {
  const { value, findings } = parseContract(text);
  expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  const rule = contractRules.find(({ doc }) => doc.code === code);
  return value === undefined || rule === undefined ? [] : rule.check(value, text);
}

describe.each(contractRules.map(({ doc }) => doc))('$code', (doc) => {
  it('points at the place in its bad example, and nowhere else', () => {
    expect(places(search(doc.code, doc.bad), doc.bad)).toEqual([`${expected[doc.code] ?? 'no place'} ${doc.code}`]);
  });

  it('has no word about its good example', () => {
    expect(search(doc.code, doc.good)).toEqual([]);
  });
});

describe('the lints of the contract', () => {
  it('are all placed above, each once', () => {
    const codes = contractRules.map(({ doc }) => doc.code);
    expect(codes.length).toBe(Object.keys(expected).length);
    expect(new Set(codes).size).toBe(codes.length);
  });

  it('say all this of their bad examples', async () => {
    const texts = contractRules.map(({ doc }) =>
      renderFindings(search(doc.code, doc.bad), `${doc.code}.yaml`, doc.bad),
    );
    await expect(texts.join('\n\n') + '\n').toMatchFileSnapshot('golden/findings.txt');
  });
});
