import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { loadRig, loadRigFile } from './load-rig.ts';

const table = boardTable();
let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

function write(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

async function refusal(path: string): Promise<string> {
  const loaded = await loadRigFile(path);
  if (loaded.ok) throw new Error('it was loaded');
  expect(loaded.hint).not.toBe('');
  return loaded.message.replaceAll(folder, '…');
}

const ticking = `
  import type { Rig } from 'nowhere';
  import { next } from './next.ts';
  const rig: Rig<number> = {
    every: 10_000,
    start: () => 0,
    step(count: number, world) {
      world.set('count', next(count));
      return next(count);
    },
  };
  export default rig;
`;

describe('a rig', () => {
  it('is TypeScript beside the contract, with what it imports', async () => {
    write('next.ts', 'export const next = (count: number): number => count + 1;');
    const path = write('rig.ts', ticking);
    const loaded = await loadRig(join(folder, 'contract.yaml'), table);
    if (!loaded.ok) throw new Error(loaded.message);
    expect(loaded.value.path).toBe(path);
    const bench = new Bench({ table, rig: loaded.value.rig });
    bench.pass(30);
    expect(bench.truth('count')).toBe('03000000');
  });

  it('may be JavaScript', async () => {
    const path = write('rig.js', 'export default { every: 1000, start() {}, step() {} };');
    expect(await loadRig(join(folder, 'contract.yaml'), table)).toMatchObject({ ok: true, value: { path } });
  });

  it('is read anew when it has changed', async () => {
    const rigOf = (every: number): string => `export default { every: ${every}, start() {}, step() {} };`;
    for (const every of [1000, 2000]) {
      const loaded = await loadRigFile(write('rig.js', rigOf(every)));
      expect(loaded).toMatchObject({ ok: true, value: { rig: { every } } });
    }
  });

  it('is built in for a contract that brings none', async () => {
    for (const path of [join(folder, 'contract.yaml'), undefined]) {
      const loaded = await loadRig(path, table);
      if (!loaded.ok) throw new Error(loaded.message);
      expect(loaded.value.path).toBeUndefined();
      const bench = new Bench({ table, rig: loaded.value.rig });
      bench.pass(20_000);
      expect(bench.truth('count')).not.toBe('00000000');
    }
  });

  it.each([
    ['no default export', 'export const rig = 1;', 'has no default export that is an object'],
    ['a function', 'export default () => 1;', 'has no default export that is an object'],
    ['no time', 'export default { start() {}, step() {} };', '`every` is no whole number'],
    ['too short a time', 'export default { every: 999, start() {}, step() {} };', '`every` is no whole number'],
    ['no start', 'export default { every: 1000, step() {} };', '`start` is no function'],
    ['no step', 'export default { every: 1000, start() {} };', '`step` is no function'],
  ])('is none with %s', async (_, text, message) => {
    expect(await refusal(write('rig.js', text))).toContain(`\`…/rig.js\` is no rig: ${message}`);
  });

  it('says where it cannot be compiled', async () => {
    const message = await refusal(write('rig.ts', 'export default {\n  every: = 3,\n};'));
    expect(message).toContain('`…/rig.ts` cannot be compiled');
    expect(message).toContain('rig.ts:2:9');
    expect(await refusal(write('rig.ts', "import { x } from './gone.ts'; export default x;"))).toContain('gone.ts');
  });

  it('says how it stopped', async () => {
    expect(await refusal(write('rig.js', "throw new Error('no sensor');"))).toBe(
      '`…/rig.js` stopped while it was loaded: no sensor',
    );
  });

  it('is not there', async () => {
    expect(await refusal(join(folder, 'rig.ts'))).toBe('`…/rig.ts` is not there');
  });
});
