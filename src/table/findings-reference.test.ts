import { describe, expect, it } from 'vitest';
import { allFindings } from './catalogue.ts';
import { chapters, findingsReference } from './findings-reference.ts';

describe('findingsReference', () => {
  const page = findingsReference();

  it('has one heading for each code, and each code once', () => {
    expect(chapters.flatMap(({ docs }) => docs)).toEqual(allFindings);
    const headings = [...page.matchAll(/^### (.*)$/gm)].map((match) => match[1]);
    expect(headings).toEqual(allFindings.map(({ code }) => code));
  });

  it('links only to headings that it has', () => {
    const targets = [...page.matchAll(/\]\(#([^)]*)\)/g)].map((match) => match[1]);
    expect(targets).toEqual(allFindings.map(({ code }) => code));
  });

  it('closes every block that it opens', () => {
    const fences = page.split('\n').filter((line) => line.startsWith('```'));
    expect(fences.length % 2).toBe(0);
    expect(fences.filter((_, i) => i % 2 === 1).every((fence) => fence === '```')).toBe(true);
  });

  it('shows what the terminal says', () => {
    expect(page).toContain('  `stirrer` is uint8 and holds 0 to 2.55 Hz, but its range is 0 to 4 Hz');
  });

  it('comes out the same each time, and ends in one line end', () => {
    expect(findingsReference()).toBe(page);
    expect(page).toMatch(/[^\n]\n$/);
  });
});
