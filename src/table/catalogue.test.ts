import { describe, expect, it } from 'vitest';
import { hasErrors } from '../base/finding.ts';
import { contractFindings } from '../contract/catalogue.ts';
import { applyFix } from '../../test/support/fixes.ts';
import { badSource } from '../../test/support/hostile-contracts.ts';
import { allFindings } from './catalogue.ts';
import { check } from './check.ts';

describe('the catalogue of findings', () => {
  it('has each code once, in kebab case', () => {
    const codes = allFindings.map(({ code }) => code);
    expect([...new Set(codes)]).toEqual(codes);
    expect(codes.filter((code) => !/^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$/.test(code))).toEqual([]);
  });

  it.each(allFindings)('$code tells its reason and its source', ({ title, why, source }) => {
    expect(title).toMatch(/^[A-Z0-9].*[^.]$/);
    expect(why).toMatch(/^[A-Z0-9`].{20,}[.?]$/s);
    expect(source).not.toBe('');
  });
});

const read: ReadonlySet<string> = new Set(contractFindings.map(({ code }) => code));

describe.each(allFindings)('$code', ({ code, severity, bad, good }) => {
  // What no page can show in full, a megabyte or octets that are no text, is made by the tests of reading.
  const source = read.has(code) ? badSource(code) : bad;
  const found = check(source).findings.filter((finding) => finding.code === code);

  it('is found in its bad contract, and not in its good one', () => {
    expect(found).not.toEqual([]);
    expect(check(good).findings.map((finding) => finding.code)).not.toContain(code);
  });

  it('is worded as all findings are', () => {
    for (const { message, hint, at, severity: told } of found) {
      expect(told).toBe(severity);
      expect(message).toMatch(/^(?:[^A-Z\s]|NUL\b).*[^.]$/);
      expect(`${message} ${hint}`).not.toMatch(/invalid|please|undefined|\[object/i);
      expect(hint).toMatch(/^[a-z`].*[^.]$/);
      expect(at.start).toBeLessThanOrEqual(at.end);
      expect(at.end).toBeLessThanOrEqual(source.length);
    }
  });

  it('is gone when its fix is made, and nothing is broken', () => {
    if (typeof source !== 'string') return;
    for (const fix of found.flatMap(({ fixes }) => fixes)) {
      const after = check(applyFix(source, fix)).findings;
      const left = after.filter((finding) => finding.code === code);
      expect(left.length, fix.title).toBeLessThan(found.length);
      if (severity !== 'error') expect(hasErrors(after), fix.title).toBe(false);
    }
  });
});
