import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe } from 'vitest';

export { repository } from './repository.ts';

/** The flags that all C of ours must compile under without a word. */
export const strictFlags = (
  '-std=c99 -pedantic-errors -Wall -Wextra -Wconversion -Wsign-conversion -Wshadow -Wcast-qual -Wmissing-prototypes ' +
  '-Wundef -Werror'
).split(' ');

/** Whether a program is there. Under CI a missing one is an error: nothing may be skipped there unseen. */
export function hasTool(name: string): boolean {
  const found = spawnSync(name, ['--version'], { stdio: 'ignore' }).error === undefined;
  if (!found && process.env['CI'] !== undefined)
    throw new Error(`${name} is needed for these tests and is not installed`);
  return found;
}

/** A suite that needs programs; without one of them its title says which is missing, and it is skipped. */
export function describeWith(tools: readonly string[], title: string, body: () => void): void {
  const missing = tools.filter((tool) => !hasTool(tool));
  if (missing.length === 0) describe(title, body);
  else describe.skip(`${title} (needs ${missing.join(', ')})`, body);
}

/** A folder that is gone when the tests of the file are done. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-firmware-'));
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

/** Runs a program to its end. @throws Error with all that it said when it fails */
export function runTool(
  name: string,
  args: readonly string[],
  options: { cwd?: string; input?: Uint8Array } = {},
): Buffer {
  const result = spawnSync(name, args, { ...options, maxBuffer: 1 << 28 });
  if (result.status === 0) return result.stdout;
  const said = `${result.stdout.toString()}${result.stderr.toString()}`;
  throw new Error(`${name} ${args.join(' ')}\n${result.error?.message ?? ''}${said.slice(0, 4000)}`);
}
