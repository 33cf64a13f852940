import { describe, expect, it } from 'vitest';
import { sortFindings, type FindingDoc } from '../base/finding.ts';
import { expectFindings, type Search } from '../../test/support/findings.ts';
import { parseContract } from './parse.ts';
import { contractRules } from './rules/registry.ts';
import { lintContract } from './rules/run.ts';
import { characteristics } from './rules/sample.ts';
import { applyWaivers, waiverFindings } from './waive.ts';

const catalogue: readonly FindingDoc[] = [...contractRules.map(({ doc }) => doc), ...waiverFindings];

const lintAndWaive: Search = (text) => {
  const { value, findings } = parseContract(text);
  if (value === undefined) return findings;
  return sortFindings(applyWaivers(value, [...findings, ...lintContract(value, text, true)], catalogue));
};

const expectAfter = (text: string, expected: readonly string[]): void => {
  expectFindings(text, expected, lintAndWaive);
};

const noisy = (waive: string): string =>
  characteristics(`id: x\nlabel: X\ntype: uint8\naccess: [read, notify]\n${waive}`);
const reason = 'because: a person presses the button';

describe('applyWaivers', () => {
  it('leaves findings that nothing waives', () => {
    expectAfter(noisy(''), ['12:17 notify-without-rate']);
  });

  it('silences within the characteristic, the service, or the whole contract', () => {
    const waiver = `waive: [{ finding: notify-without-rate, ${reason} }]`;
    expectAfter(noisy(waiver), []);
    expectAfter(noisy('').replace('- id: bench\n', `- id: bench\n    ${waiver}\n`), []);
    expectAfter(noisy('').replace('services:', `${waiver}\nservices:`), []);
  });

  it('silences nothing outside the entity it stands in', () => {
    const second = 'id: y\nlabel: Y\ntype: uint8\naccess: [read, notify]';
    const waived = `id: x\nlabel: X\ntype: uint8\naccess: [read, notify]\nwaive: [{ finding: notify-without-rate, ${reason} }]`;
    expectAfter(characteristics(waived, second), ['17:17 notify-without-rate']);
  });

  it('silences findings about the radio from within it, and no others', () => {
    const inRadio = (code: string) =>
      noisy('').replace(
        'services:',
        `radio:\n  connection: { interval: 7.5 ms }\n  waive: [{ finding: ${code}, because: no phone connects }]\nservices:`,
      );
    expectAfter(inRadio('outside-phone-guidelines'), ['15:17 notify-without-rate']);
    expectAfter(inRadio('notify-without-rate'), [
      '7:27 outside-phone-guidelines',
      '8:11 waiver-unused',
      '15:17 notify-without-rate',
    ]);
  });

  it('silences several findings with one waiver', () => {
    const text = characteristics(
      'id: x\ntype: uint8\naccess: [read, notify]',
      'id: y\ntype: uint8\naccess: [read, notify]',
    );
    expectAfter(text.replace('services:', `waive: [{ finding: notify-without-rate, ${reason} }]\nservices:`), []);
  });

  it('leaves errors, and says that they cannot be waived', () => {
    const text = characteristics(
      `id: x\ntype: uint8\nunit: volt\nrange: [0, 300]\naccess: [read, notify]\nnotify: { on: every 1 s }\nwaive: [{ finding: type-too-narrow, ${reason} }]`,
    );
    expectAfter(text, ['10:15 type-too-narrow', '15:17 waiver-of-error']);
  });

  it('does not call a waiver unused beside an error, after which later lints have not run', () => {
    const text = characteristics(
      `id: x\ntype: uint8\nunit: volt\nrange: [0, 300]\naccess: [read, write]\nwaive: [{ finding: notify-without-rate, ${reason} }]`,
    );
    expectAfter(text, ['10:15 type-too-narrow']);
  });

  it('knows a misspelt code', () => {
    const text = noisy(`waive: [{ finding: notify-witout-rate, ${reason} }]`);
    expectAfter(text, ['12:17 notify-without-rate', '13:17 waiver-of-unknown']);
    expect(lintAndWaive(text)[1]?.hint).toBe('write `notify-without-rate`');
  });

  it('takes no waiver without a reason', () => {
    expectAfter(noisy('waive: [{ finding: notify-without-rate, because: "  " }]'), [
      '12:17 notify-without-rate',
      '13:17 waiver-without-reason',
    ]);
  });

  it('cannot be waived itself', () => {
    const text = noisy(`waive: [{ finding: waiver-unused, ${reason} }, { finding: notify-without-rate, ${reason} }]`);
    expectAfter(text, ['13:17 waiver-unused']);
  });
});
