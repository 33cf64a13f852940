import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { bug } from '../../base/bug.ts';
import { lineIndex } from '../../base/text-range.ts';
import type { Artifact } from '../../emit/artifact.ts';
import { emitFirmware } from '../../emit/firmware-c/emit.ts';
import { isPrefix } from '../../emit/firmware-c/names.ts';
import { stampOf } from '../../emit/stamp.ts';
import { CannotRun } from '../cannot-run.ts';
import { cannotWrite } from '../cannot-write.ts';
import { required, type Run } from '../command.ts';
import { readRuntime } from '../../links/firmware-runtime.ts';
import { openCompiled } from '../open-contract.ts';
import { packageRoot } from '../../links/package-root.ts';
import { version } from '../version.ts';

export const run: Run = async (input, io) => {
  const out = input.option('out');
  if (out === undefined) throw new CannotRun('`emit` needs a folder to write to', 'add `--out FOLDER`');
  const prefix = input.option('prefix');
  if (prefix !== undefined && !isPrefix(prefix)) {
    throw new CannotRun(
      `\`${prefix}\` is no prefix of C names`,
      'use up to 24 lower-case letters, digits and `_`, a letter first, and no word of C or C++',
    );
  }
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 1;
  const lines = lineIndex(compiled.text);
  const emitted = emitFirmware(compiled.table, {
    origin: { version, contract: basename(compiled.name) },
    ...(prefix === undefined ? {} : { prefix }),
    runtime: readRuntime(join(packageRoot(), 'firmware')),
    lineOf: ({ start, end }) => (end === 0 ? 0 : lines.position(start).line),
  });
  if (!emitted.ok) throw new CannotRun(emitted.why, emitted.remedy);
  const plans = emitted.artifacts.map((artifact) => planOf(out, artifact));
  const changed = plans.filter(({ act }) => act === 'refuse');
  if (changed.length > 0 && !input.has('force')) {
    throw new CannotRun(
      `${changed.map(({ path }) => `\`${path}\``).join(', ')} ${changed.length === 1 ? 'is' : 'are'} not as \`emit\` left ` +
        `${changed.length === 1 ? 'it' : 'them'}; nothing was written`,
      'move your changes elsewhere, name another folder, or add `--force` to lose them',
    );
  }
  for (const plan of plans) write(plan);
  for (const { path, act } of plans) if (act === 'keep') io.err(`kept ${path}: it is yours\n`);
  const written = plans.filter(({ act }) => act === 'write' || act === 'refuse').length;
  io.out(
    `${written} ${written === 1 ? 'file' : 'files'} written, ${plans.length - written} as they were, in ${out}\n` +
      `build: cmake -S ${out} -B ${join(out, 'build')} && cmake --build ${join(out, 'build')}\n`,
  );
  return 0;
};

/** `same`: it stands there already. `keep`: the user's own. `refuse`: made by us and changed since, or not ours. */
type Plan = { readonly path: string; readonly content: string; readonly act: 'write' | 'same' | 'keep' | 'refuse' };

function planOf(out: string, { path: within, content, owner }: Artifact): Plan {
  const path = join(out, within);
  if (!existsSync(path)) return { path, content, act: 'write' };
  const there = readText(path);
  if (there === content) return { path, content, act: 'same' };
  if (stampOf(there) === 'untouched') return { path, content, act: 'write' };
  return { path, content, act: owner === 'student' ? 'keep' : 'refuse' };
}

function readText(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    throw cannotWrite(path, error);
  }
}

function write({ path, content, act }: Plan): void {
  if (act === 'same' || act === 'keep') return;
  bug(content.endsWith('\n'), 'an emitted file ends with a line end');
  try {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, content);
  } catch (error) {
    throw cannotWrite(path, error);
  }
}
