import { describe, expect, it } from 'vitest';
import { renderFinding, plainPalette } from '../base/render-finding.ts';
import { lineIndex } from '../base/text-range.ts';
import { badSource } from '../../test/support/hostile-contracts.ts';
import { contractFindings } from './catalogue.ts';
import { parseContract } from './parse.ts';
import { sourceText } from './source.ts';

/** Examples that cannot have their finding alone. */
const notAlone = new Set(['anchor-or-alias', 'too-many-findings']);

describe('the catalogue of contract findings', () => {
  it('has each code once', () => {
    const codes = contractFindings.map(({ code }) => code);
    expect([...new Set(codes)]).toEqual(codes);
  });

  it.each(contractFindings)(
    '$code: is found in its bad example, and nothing in its good one',
    ({ code, severity, good }) => {
      const findings = parseContract(badSource(code)).findings;
      const found = notAlone.has(code)
        ? [...new Set(findings.map((finding) => finding.code))]
        : findings.map((f) => f.code);
      expect(found).toContain(code);
      if (!notAlone.has(code)) expect(found).toEqual([code]);
      expect(findings.find((finding) => finding.code === code)?.severity).toBe(severity);
      expect(parseContract(good).findings).toEqual([]);
    },
  );

  it.each(contractFindings)('$code: is worded as findings are', ({ code, title, why, source }) => {
    const finding = parseContract(badSource(code)).findings.find((candidate) => candidate.code === code)!;
    expect(finding.message).toMatch(/^(?:[^A-Z]|NUL\b)/);
    for (const sentence of [finding.message, finding.hint]) {
      expect(sentence).not.toMatch(/\.$|\binvalid\b|\bplease\b/i);
    }
    expect(finding.hint).not.toBe('');
    expect(title).not.toMatch(/\.$/);
    expect(why).toMatch(/\.$/);
    expect(source).not.toBe('');
  });

  it('says every finding in full', async () => {
    const blocks = contractFindings.map(({ code }) => {
      const { text } = sourceText(badSource(code));
      const finding = parseContract(badSource(code)).findings.find((candidate) => candidate.code === code)!;
      const fixes = finding.fixes.map(({ title }) => `  fix: ${title}\n`).join('');
      return `${renderFinding(finding, 'contract.yaml', lineIndex(text), plainPalette)}\n${fixes}`;
    });
    await expect(blocks.join('\n')).toMatchFileSnapshot('golden/findings.txt');
  });
});

describe('fixes', () => {
  it.each(contractFindings)('$code: applying each fix of the bad example takes the finding away', ({ code }) => {
    const source = badSource(code);
    if (typeof source !== 'string') return;
    for (const finding of parseContract(source).findings) {
      for (const { edits } of finding.fixes) {
        const mended = [...edits]
          .sort((a, b) => b.at.start - a.at.start)
          .reduce((text, { at, text: insert }) => text.slice(0, at.start) + insert + text.slice(at.end), source);
        expect(parseContract(mended).findings.map((left) => left.code)).not.toContain(finding.code);
      }
    }
  });
});
