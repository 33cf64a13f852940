import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { cp, mkdir, readFile, readdir, writeFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { nearest } from '../../base/nearest.ts';
import { cannotWrite } from '../cannot-write.ts';
import { CannotRun } from '../cannot-run.ts';
import { required, type Run } from '../command.ts';
import { packageRoot } from '../../links/package-root.ts';
import { starterContract } from '../starter.ts';

const contractFile = 'contract.yaml';

export const run: Run = async (input, io) => {
  const folder = required(input, 'FOLDER');
  if (folder === '') throw new CannotRun('FOLDER is empty', 'name the folder; `.` is the one you are in');
  const target = join(folder, contractFile);
  if (existsSync(target)) {
    throw new CannotRun(`${target} is there already and stays as it is`, 'name another folder, or move the file away');
  }
  const example = input.option('like');
  const name = input.option('name') ?? titled(basename(resolve(folder)));
  const base = freshUuidBase();
  const written =
    example === undefined ? await writeStarter(folder, name, base) : await copyExample(folder, example, base);
  if (input.option('format') === 'json') {
    io.out(`${JSON.stringify({ wrote: written, next: ['gattwright', 'check', folder] }, undefined, 2)}\n`);
    return 0;
  }
  for (const path of written) io.out(`wrote ${path}\n`);
  io.out(`next: gattwright check ${folder}\n`);
  return 0;
};

async function writeStarter(folder: string, name: string, base: string): Promise<readonly string[]> {
  const path = join(folder, contractFile);
  await makeFolder(folder);
  try {
    await writeFile(path, starterContract(name, base), { flag: 'wx' });
  } catch (error) {
    throw cannotWrite(path, error);
  }
  return [path];
}

async function copyExample(folder: string, example: string, base: string): Promise<readonly string[]> {
  const examples = join(packageRoot(), 'examples');
  const names = (await readdir(examples, { withFileTypes: true })).filter((e) => e.isDirectory()).map((e) => e.name);
  if (!names.includes(example)) {
    const near = nearest(example, names);
    throw new CannotRun(
      `there is no example \`${example}\``,
      near === undefined ? `the examples are: ${names.sort().join(', ')}` : `did you mean \`${near}\`?`,
    );
  }
  await makeFolder(folder);
  const written: string[] = [];
  for (const file of (await readdir(join(examples, example))).sort()) {
    if (file.endsWith('.test.ts')) continue;
    const path = join(folder, file);
    if (existsSync(path)) throw new CannotRun(`${path} is there already and stays as it is`, 'name another folder');
    if (file === contractFile) {
      const text = await readFile(join(examples, example, file), 'utf8');
      await writeFile(path, text.replace(/^uuid-base:.*$/m, `uuid-base: ${base}`), { flag: 'wx' });
    } else {
      await cp(join(examples, example, file), path, { recursive: true, errorOnExist: true, force: false });
    }
    written.push(path);
  }
  return written;
}

/**
 * Makes a folder and those above it, one by one: where the system lets none be made, as below /proc, the recursive way of
 * Node 20 never comes back.
 */
async function makeFolder(folder: string): Promise<void> {
  if (existsSync(folder)) return;
  const above = dirname(folder);
  if (above !== folder) await makeFolder(above);
  try {
    await mkdir(folder);
  } catch (error) {
    throw cannotWrite(folder, error);
  }
}

/** A random UUID whose slot (third and fourth octet) is zero, ready to be numbered. */
function freshUuidBase(): string {
  const uuid = randomUUID();
  return `${uuid.slice(0, 4)}0000${uuid.slice(8)}`;
}

function titled(name: string): string {
  const words = name.replace(/[-_.]+/g, ' ').trim();
  return words === '' ? 'Board' : words.charAt(0).toUpperCase() + words.slice(1);
}
