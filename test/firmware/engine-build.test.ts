import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { describeWith, repository } from './support/tool.ts';

describeWith(['clang', 'wasm-ld'], 'the engine as committed', () => {
  it('is octet for octet what the sources give', { timeout: 120_000 }, () => {
    const build = join(repository, 'firmware/ports/wasm/build.mjs');
    expect(() => execFileSync(process.execPath, [build, '--check'], { stdio: 'pipe' })).not.toThrow();
  });
});
