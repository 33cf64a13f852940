import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, watch } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** True when pseudo-terminals can be joined here. @throws Error under CI when they cannot */
export function hasPtyPairs(): boolean {
  if (existsSync('/usr/bin/socat')) return true;
  const message = 'consoles are tested on pseudo-terminals, and nothing joins them: apt-get install socat';
  if (process.env['CI'] !== undefined) throw new Error(message);
  console.warn(message);
  return false;
}

/** Two serial ports with a cable between them. */
export type PtyPair = { readonly host: string; readonly board: string; close(): Promise<void> };

export async function ptyPair(): Promise<PtyPair> {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-pty-'));
  const [host, board] = [join(folder, 'host'), join(folder, 'board')];
  const both = new Promise<void>((resolve) => {
    const watcher = watch(folder, () => {
      if (!existsSync(host) || !existsSync(board)) return;
      watcher.close();
      resolve();
    });
  });
  const cable = spawn('socat', ['-b65536', `pty,raw,echo=0,link=${host}`, `pty,raw,echo=0,link=${board}`]);
  await both;
  return {
    host,
    board,
    close: async () => {
      if (cable.exitCode === null) {
        const gone = new Promise((resolve) => cable.on('close', resolve));
        cable.kill();
        await gone;
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
