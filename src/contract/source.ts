import type { Finding } from '../base/finding.ts';
import { decodeUtf8 } from '../values/utf8.ts';
import { fileTooLarge, notUtf8 } from './syntax/findings.ts';
import { largestFile } from './syntax/limits.ts';

/** A contract's text, ready to parse, and what was found while it was decoded. Ranges of findings are offsets into `text`. */
export type SourceText = {
  readonly text: string;
  readonly findings: readonly Finding[];
  /** False when nothing may be derived from `text`: too large, or not UTF-8. */
  readonly readable: boolean;
};

/**
 * Decodes a contract file. Octets are strict UTF-8 (RFC 3629) with or without a byte order mark; a string is taken as it
 * is. What cannot be decoded stands as U+FFFD in `text`, so that a finding can show its line.
 */
export function sourceText(source: string | Uint8Array): SourceText {
  if (typeof source === 'string') {
    // One UTF-16 unit is at least one octet of UTF-8.
    if (source.length > largestFile) return tooLarge(source.slice(0, 200), source.length);
    return { text: source, findings: [], readable: true };
  }
  const octets = source[0] === 0xef && source[1] === 0xbb && source[2] === 0xbf ? source.subarray(3) : source;
  if (octets.length > largestFile) return tooLarge(decodeWithGaps(octets.subarray(0, 200)).text, octets.length);
  const whole = decodeUtf8(octets);
  if (whole.ok) return { text: whole.text, findings: [], readable: true };
  const { text, gap } = decodeWithGaps(octets);
  const findings = [
    notUtf8.at(
      { start: gap, end: gap + 1 },
      { octet: octets[whole.offset] ?? 0, offset: whole.offset, why: whole.why },
    ),
  ];
  return { text, findings, readable: false };
}

function tooLarge(beginning: string, octets: number): SourceText {
  const text = beginning.split(/\r?\n/, 1)[0] ?? '';
  return { text, findings: [fileTooLarge.at({ start: 0, end: text.length }, { octets })], readable: false };
}

/** Decodes with one U+FFFD for each octet that fits nowhere; `gap` is the place of the first. */
function decodeWithGaps(octets: Uint8Array): { text: string; gap: number } {
  const parts: string[] = [];
  let length = 0;
  let gap = -1;
  let rest = octets;
  // A file that is no text at all is shown up to its hundredth gap; more tells nobody anything.
  for (let gaps = 0; gaps < 100; gaps++) {
    const decoded = decodeUtf8(rest);
    const good = decoded.ok ? decoded : decodeUtf8(rest.subarray(0, decoded.offset));
    const text = good.ok ? good.text : '';
    parts.push(text);
    length += text.length;
    if (decoded.ok) break;
    if (gap < 0) gap = length;
    parts.push('\ufffd');
    length += 1;
    rest = rest.subarray(decoded.offset + 1);
  }
  return { text: parts.join(''), gap: Math.max(0, gap) };
}
