import { contractFindings } from '../../src/contract/catalogue.ts';
import { encodeUtf8 } from '../../src/values/utf8.ts';

const head = 'contract: 1\nboard: { name: Tank }\n';

/** What has the finding of a code whose example in the documentation only hints at it, because the real one is too large. */
const real: Readonly<Record<string, () => string | Uint8Array>> = {
  'file-too-large': () => `${head}# ${'x'.repeat(1024 * 1024)}\n`,
  // The octet 0xE9 is é in Latin-1 and begins a sequence of three in UTF-8.
  'not-utf8': () => encodeUtf8('contract: 1\nboard: { name: Caf@ }\n').map((octet) => (octet === 0x40 ? 0xe9 : octet)),
  'too-many-words': () => `${head}waive: [${'a,'.repeat(60_000)}]\n`,
  'too-many-findings': () => `${head}waive: [${'1,'.repeat(600)}]\n`,
};

/** The source with the finding `code`: the documentation's example, or the real thing behind it. */
export function badSource(code: string): string | Uint8Array {
  const made = real[code]?.();
  if (made !== undefined) return made;
  const doc = contractFindings.find((candidate) => candidate.code === code);
  if (doc === undefined) throw new Error(`no finding ${code}`);
  return doc.bad;
}
