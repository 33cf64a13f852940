import { appendFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { memoryIo } from '../../test/support/memory-io.ts';
import { runCli } from './run-cli.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-emit-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

async function emit(...words: readonly string[]) {
  const io = memoryIo([]);
  const code = await runCli(['emit', 'firmware-c', 'examples/wave-tank', '--out', join(folder, 'tank'), ...words], io);
  return { code, ...io.printed };
}

const file = (name: string): string => join(folder, 'tank', name);

describe('emit', () => {
  it('writes a folder, and the same one again without touching it', async () => {
    const first = await emit();
    expect(first).toMatchObject({ code: 0, err: '' });
    expect(first.out).toMatch(/^\d+ files written, 0 as they were/);
    expect(readdirSync(file('.')).sort()).toEqual(
      ['CMakeLists.txt', 'README.md', 'app.c', 'ports', 'runtime', 'tank.c', 'tank.h', 'tank_table.c'].sort(),
    );
    expect((await emit()).out).toMatch(/^0 files written/);
  });

  it('renews what it made, keeps what the student wrote, and refuses to lose changes', async () => {
    await emit();
    appendFileSync(file('app.c'), '/* mine */\n');
    appendFileSync(file('tank.h'), '/* mine */\n');
    const refused = await emit();
    expect(refused.code).toBe(2);
    expect(refused.err).toContain('tank.h` is not as `emit` left it; nothing was written');
    const forced = await emit('--force');
    expect(forced.code).toBe(0);
    expect(forced.err).toContain('app.c: it is yours');
    expect(readFileSync(file('app.c'), 'utf8')).toContain('/* mine */');
    expect(readFileSync(file('tank.h'), 'utf8')).not.toContain('/* mine */');
  });

  it('writes over an older file of its own, but not over somebody else’s', async () => {
    await emit('--prefix', 'basin');
    writeFileSync(file('README.md'), 'my notes\n');
    expect((await emit()).code).toBe(2);
    rmSync(file('README.md'));
    expect((await emit()).code).toBe(0);
    expect(readFileSync(file('app.c'), 'utf8')).toContain('#include "tank.h"');
  });

  it.each([
    [['--prefix', 'int'], '`int` is no prefix of C names'],
    [['--prefix', 'Tank'], 'lower-case letters'],
  ])('refuses %j', async (words, why) => {
    const { code, err } = await emit(...words);
    expect(code).toBe(2);
    expect(err).toContain(why);
    expect(readdirSync(folder)).toEqual([]);
  });

  it('needs a folder', async () => {
    const io = memoryIo([]);
    expect(await runCli(['emit', 'firmware-c', 'examples/wave-tank'], io)).toBe(2);
    expect(io.printed.err).toContain('add `--out FOLDER`');
  });
});
