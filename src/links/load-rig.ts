import { access } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { defaultRig } from '../board/default-rig.ts';
import type { Rig } from '../board/model.ts';
import type { Table } from '../table/model.ts';
import { unreadable, type Loaded } from './load-contract.ts';

export type LoadedRig = {
  readonly rig: Rig<unknown>;
  /** The module's file; `undefined` for the rig every contract has by itself. */
  readonly path: string | undefined;
};

const rigNames = ['rig.ts', 'rig.js', 'rig.mjs'];

/**
 * The rig of a contract: `rig.ts` or `rig.js` beside it, else the built-in one, which moves what the board owns in a
 * plausible way. A rig is a program and runs with the user's rights: it is loaded only where a board is to run.
 *
 * @param contractPath the contract's file; `undefined` when it came from standard input
 */
export async function loadRig(contractPath: string | undefined, table: Table): Promise<Loaded<LoadedRig>> {
  const path = contractPath === undefined ? undefined : await rigBeside(contractPath);
  if (path === undefined) return { ok: true, value: { rig: defaultRig(table), path: undefined } };
  return loadRigFile(path);
}

/** The first of `rig.ts`, `rig.js`, `rig.mjs` in the contract's folder. */
async function rigBeside(contractPath: string): Promise<string | undefined> {
  for (const name of rigNames) {
    const path = join(dirname(contractPath), name);
    try {
      await access(path);
      return path;
    } catch {
      continue;
    }
  }
  return undefined;
}

/** Loads one rig module: TypeScript or JavaScript, with what it imports from its own folder. */
export async function loadRigFile(path: string): Promise<Loaded<LoadedRig>> {
  try {
    await access(path);
  } catch (error) {
    return unreadable(path, error);
  }
  const code = await bundle(path);
  if (!code.ok) return code;
  try {
    // A module of its own, so that a changed rig is a new module and no file is left behind.
    const url = `data:text/javascript;base64,${Buffer.from(code.value).toString('base64')}`;
    const module: unknown = await import(url);
    const rig = checkRig(module);
    return typeof rig === 'string' ? noRig(path, rig) : { ok: true, value: { rig, path } };
  } catch (error) {
    return {
      ok: false,
      message: `\`${path}\` stopped while it was loaded: ${error instanceof Error ? error.message : String(error)}`,
      hint: 'move what may fail into `start` or `step`',
    };
  }
}

/** The module and its imports as one text of plain JavaScript. */
async function bundle(path: string): Promise<Loaded<string>> {
  // Only who runs a rig waits for the compiler.
  const { build, formatMessages } = await import('esbuild');
  try {
    const result = await build({
      entryPoints: [path],
      bundle: true,
      write: false,
      format: 'esm',
      platform: 'node',
      target: 'es2022',
      logLevel: 'silent',
    });
    return { ok: true, value: result.outputFiles[0]?.text ?? '' };
  } catch (error) {
    const messages = buildErrors(error);
    if (messages === undefined) throw error;
    const text = await formatMessages(messages, { kind: 'error' });
    return {
      ok: false,
      message: `\`${path}\` cannot be compiled:\n${text.join('').trimEnd()}`,
      hint: 'mend the rig at the place shown',
    };
  }
}

type BuildError = { readonly text: string };

function buildErrors(error: unknown): BuildError[] | undefined {
  if (!(error instanceof Error) || !('errors' in error) || !Array.isArray(error.errors)) return undefined;
  return error.errors.filter((item): item is BuildError => typeof item === 'object' && item !== null && 'text' in item);
}

/** The rig in a module's default export, or what is amiss with it. */
function checkRig(module: unknown): Rig<unknown> | string {
  const rig: unknown =
    typeof module === 'object' && module !== null && 'default' in module ? module.default : undefined;
  if (typeof rig !== 'object' || rig === null) return 'has no default export that is an object';
  const { every, start, step } = rig as Partial<Record<keyof Rig<unknown>, unknown>>;
  if (typeof every !== 'number' || !Number.isInteger(every) || every < 1000) {
    return '`every` is no whole number of microseconds of at least 1000';
  }
  if (typeof start !== 'function') return '`start` is no function';
  if (typeof step !== 'function') return '`step` is no function';
  return rig as Rig<unknown>;
}

function noRig(path: string, what: string): Loaded<never> {
  return {
    ok: false,
    message: `\`${path}\` is no rig: ${what}`,
    hint: 'write `export default { every: 20_000, start(random) { … }, step(state, world, elapsed) { … } }`',
  };
}
