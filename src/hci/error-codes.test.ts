import { describe, expect, it } from 'vitest';
import { hciErrors, hciErrorTitle } from './error-codes.ts';

describe('error codes', () => {
  it('have each a title', () => {
    const codes = Object.values(hciErrors);
    for (const code of codes) expect(hciErrorTitle(code)).not.toMatch(/^error/);
    expect(new Set(codes).size).toBe(codes.length);
  });

  // Core Vol 1 Part F 1.3.
  it('are told with their number', () => {
    expect(hciErrorTitle(0x08)).toBe('Connection Timeout (0x08)');
    expect(hciErrorTitle(0x3d)).toBe('Connection Terminated due to MIC Failure (0x3D)');
    expect(hciErrorTitle(0xee)).toBe('error 0xEE');
  });
});
