import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { lineIndex } from '../../../src/base/text-range.ts';
import { sourceText } from '../../../src/contract/source.ts';
import { emitFirmware, type Emitted } from '../../../src/emit/firmware-c/emit.ts';
import { readRuntime } from '../../../src/links/firmware-runtime.ts';
import { check } from '../../../src/table/check.ts';
import type { Table } from '../../../src/table/model.ts';
import { repository } from './repository.ts';

/** The names of the examples. */
export const examples = readdirSync(join(repository, 'examples')).sort();

export const runtime = readRuntime(join(repository, 'firmware'));

/** The table of a contract's text. @throws Error when it has errors */
export function tableOf(source: Uint8Array | string): Table {
  const { value, findings } = check(source);
  if (value === undefined) throw new Error(findings.map(({ message }) => message).join('\n'));
  return value.table;
}

export function exampleSource(name: string): Buffer {
  return readFileSync(join(repository, 'examples', name, 'contract.yaml'));
}

export type EmittedFolder = { readonly folder: string; readonly prefix: string; readonly sources: readonly string[] };

/** Emits a contract's text into a folder; `sources`: the C files of every port but the ports' own. */
export function emitInto(folder: string, source: Uint8Array | string): EmittedFolder {
  const made = emitText(source);
  if (!made.ok) throw new Error(made.why);
  for (const { path, content } of made.artifacts) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), content);
  }
  const sources = made.artifacts
    .map(({ path }) => path)
    .filter((path) => path.endsWith('.c') && !path.startsWith('ports/'));
  return { folder, prefix: made.prefix, sources };
}

export function emitText(source: Uint8Array | string): Emitted {
  const lines = lineIndex(sourceText(typeof source === 'string' ? Buffer.from(source) : source).text);
  return emitFirmware(tableOf(source), {
    origin: { version: '0.0.0', contract: 'contract.yaml' },
    runtime,
    lineOf: ({ start, end }) => (end === 0 ? 0 : lines.position(start).line),
  });
}

export function includes(folder: string, port: string): string[] {
  return ['.', 'runtime/include', 'runtime/src', `ports/${port}`, 'ports/arm'].map((path) => `-I${join(folder, path)}`);
}
