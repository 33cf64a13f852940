import { sha256 } from '@noble/hashes/sha2.js';
import { toHex } from '../base/bytes.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import type { Artifact, Origin } from './artifact.ts';

/**
 * The first line of every emitted file: who made it, from what, and a hash of all behind the line. From the hash a later
 * run knows whether the file is still as it was made, and may be written over.
 */
export function stamped(artifact: Artifact, origin: Origin): Artifact {
  const [open, close] = marks(artifact.path);
  const contract = origin.contract.replace(/[^\w .()-]/g, '_').replaceAll('--', '-_');
  const words =
    artifact.owner === 'student'
      ? `gattwright ${origin.version} began this file from ${contract}; it is yours to change.`
      : `gattwright ${origin.version} made this file from ${contract}; change the contract, not this file.`;
  return { ...artifact, content: `${open}${words} hash ${hashOf(artifact.content)}${close}\n${artifact.content}` };
}

/** What a file with a stamp is. */
export type Stamp = 'untouched' | 'changed' | 'none';

/** Whether a file is as it was made, was changed since, or was never ours. */
export function stampOf(content: string): Stamp {
  const end = content.indexOf('\n');
  const line = end < 0 ? content : content.slice(0, end).replace(/\r$/, '');
  const [, hash] = /gattwright \S+ (?:began|made) this file from .* hash ([0-9a-f]{16})(?:$| )/.exec(line) ?? [];
  if (hash === undefined) return 'none';
  return hashOf(content.slice(end + 1)) === hash ? 'untouched' : 'changed';
}

/** The first 64 bits of SHA-256; line ends of either kind count the same. */
function hashOf(content: string): string {
  return toHex(sha256(encodeUtf8(content.replaceAll('\r\n', '\n')))).slice(0, 16);
}

function marks(path: string): readonly [string, string] {
  if (/\.(?:c|h|ld)$/.test(path)) return ['/* ', ' */'];
  if (path.endsWith('.md')) return ['<!-- ', ' -->'];
  return ['# ', ''];
}
