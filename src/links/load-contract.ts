import { createReadStream } from 'node:fs';
import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** What a user named was read, or why it was not: a sentence for the user, and what to do. */
export type Loaded<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly message: string; readonly hint: string };

export type ContractSource = {
  /** As the user will know it in messages: the path given, with the file's name where a folder was given. */
  readonly name: string;
  /** The file itself; `undefined` for standard input. */
  readonly path: string | undefined;
  /** The octets as they are; whether they are UTF-8 is for the parser to say. */
  readonly bytes: Uint8Array;
};

/**
 * Octets that are read at all; looked at before anything is. A contract has at most 1 MiB, but to say so of a file is
 * the parser's part, with its place and remedy like every finding.
 */
export const largestFile = 64 * 1024 * 1024;

const contractNames = ['contract.yaml', 'contract.yml'];

/**
 * Reads a contract from a file, from a folder that holds `contract.yaml` or `contract.yml`, or from standard input
 * (`-`). Never throws for what is or is not there.
 */
export async function loadContract(where: string): Promise<Loaded<ContractSource>> {
  if (where === '-') return loadFromInput();
  const found = await findContract(where);
  if (!found.ok) return found;
  const path = found.value;
  try {
    const { size } = await stat(path);
    // A device or a pipe has no size; it is read with the same cap as standard input.
    if (size > largestFile) return tooLarge(path, size);
    const bytes = size === 0 ? await readCapped(path) : await readFile(path);
    return bytes.length > largestFile ? tooLarge(path, bytes.length) : loaded(path, path, bytes);
  } catch (error) {
    return unreadable(path, error);
  }
}

/** The contract's file for a path that may be its folder. */
export async function findContract(where: string): Promise<Loaded<string>> {
  try {
    const entry = await stat(where);
    if (!entry.isDirectory()) return { ok: true, value: where };
    const names = (await readdir(where)).sort();
    const contracts = names.filter((name) => contractNames.includes(name.toLowerCase()));
    if (contracts[0] !== undefined && contracts.length === 1) return { ok: true, value: join(where, contracts[0]) };
    if (contracts.length > 1) {
      return {
        ok: false,
        message: `\`${where}\` holds ${contracts.map((name) => `\`${name}\``).join(' and ')}, and only one can be its contract`,
        hint: 'name the file itself, or remove the other',
      };
    }
    const other = names.find((name) => /\.ya?ml$/i.test(name));
    return {
      ok: false,
      message: `\`${where}\` is a folder without \`contract.yaml\``,
      hint:
        other === undefined
          ? 'name a contract file, or begin one with `gattwright new`'
          : `did you mean \`${join(where, other)}\`?`,
    };
  } catch (error) {
    return unreadable(where, error);
  }
}

async function loadFromInput(): Promise<Loaded<ContractSource>> {
  try {
    const bytes = await collect(process.stdin);
    return bytes.length > largestFile ? tooLarge('-', bytes.length) : loaded('standard input', undefined, bytes);
  } catch (error) {
    return unreadable('-', error);
  }
}

async function readCapped(path: string): Promise<Uint8Array> {
  return collect(createReadStream(path));
}

/** Reads to the end, or to the first octet beyond the largest contract. */
async function collect(stream: AsyncIterable<unknown>): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  let length = 0;
  for await (const part of stream) {
    const bytes = typeof part === 'string' ? Buffer.from(part) : part instanceof Uint8Array ? part : new Uint8Array(0);
    parts.push(bytes);
    length += bytes.length;
    if (length > largestFile) break;
  }
  return new Uint8Array(Buffer.concat(parts));
}

function loaded(name: string, path: string | undefined, bytes: Uint8Array): Loaded<ContractSource> {
  return { ok: true, value: { name, path, bytes: new Uint8Array(bytes) } };
}

function tooLarge(name: string, size: number): Loaded<never> {
  return {
    ok: false,
    message: `\`${name}\` has ${Math.ceil(size / 1024 / 1024)} MiB, but a contract has at most 1 MiB`,
    hint: 'name the contract file itself',
  };
}

/** The common reasons in words; the system's own word for the rest. */
export function unreadable(path: string, error: unknown): Loaded<never> {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const why =
    {
      ENOENT: 'is not there',
      EACCES: 'may not be read by you',
      EPERM: 'may not be read by you',
      EISDIR: 'is a folder',
      ENOTDIR: 'lies below something that is no folder',
      ELOOP: 'is a link that leads in a circle',
      ENAMETOOLONG: 'is too long a name',
    }[code] ?? `cannot be read (${code === '' ? String(error) : code})`;
  return { ok: false, message: `\`${path}\` ${why}`, hint: 'check the name and the folder you are in' };
}
