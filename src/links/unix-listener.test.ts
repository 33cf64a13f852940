import { mkdtempSync, existsSync, readFileSync, writeFileSync, rmSync } from 'node:fs';
import { connect, createServer, type Socket } from 'node:net';
import { spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../base/bytes.ts';
import { listenOn } from './unix-listener.ts';
import { streamPort } from './stream-port.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gw-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

const open = (path: string): Promise<Socket> =>
  new Promise((resolve, reject) => {
    const socket = connect(path, () => {
      resolve(socket);
    });
    socket.once('error', reject);
  });

describe('a socket that listens', () => {
  it('carries octets both ways and tells when the other end has gone', async () => {
    const path = join(folder, 'radio');
    const ports: ReturnType<typeof streamPort>[] = [];
    const listening = await listenOn(path, (socket) => ports.push(streamPort(socket)));
    expect(listening.ok).toBe(true);
    const host = await open(path);
    host.write(fromHex('01030c00')!);
    const got = await new Promise<string>((resolve) => {
      const wait = (): void => {
        if (ports[0] === undefined) setImmediate(wait);
        else
          ports[0].onOctets((octets) => {
            resolve(toHex(octets));
          });
      };
      wait();
    });
    expect(got).toBe('01030c00');
    const answer = new Promise<string>((resolve) =>
      host.once('data', (data) => {
        resolve(toHex(data));
      }),
    );
    ports[0]!.send(fromHex('040e0401030c00')!);
    expect(await answer).toBe('040e0401030c00');
    const gone = new Promise<void>((resolve) => {
      ports[0]!.onClose(resolve);
    });
    host.destroy();
    await gone;
    ports[0]!.send(fromHex('00')!);
    if (listening.ok) await listening.close();
    expect(existsSync(path)).toBe(false);
  });

  it('replaces a socket that a program left behind', async () => {
    const path = join(folder, 'radio');
    // A process that is killed leaves its socket file.
    const program = `require('net').createServer().listen(process.argv[1], () => process.kill(process.pid, 'SIGKILL'))`;
    spawnSync(process.execPath, ['-e', program, path]);
    expect(existsSync(path)).toBe(true);
    const listening = await listenOn(path, () => undefined);
    expect(listening.ok).toBe(true);
    if (listening.ok) await listening.close();
  });

  it('keeps a file that is no socket, and a socket that is in use', async () => {
    const file = join(folder, 'notes');
    writeFileSync(file, 'mine');
    expect(await listenOn(file, () => undefined)).toMatchObject({
      ok: false,
      why: `${file} is there and is no socket`,
    });
    expect(readFileSync(file, 'utf8')).toBe('mine');
    const path = join(folder, 'radio');
    const other = createServer().listen(path);
    await new Promise((resolve) => other.once('listening', resolve));
    expect(await listenOn(path, () => undefined)).toMatchObject({
      ok: false,
      why: `another program listens at ${path}`,
    });
    other.close();
  });

  it('says when there can be none', async () => {
    const outcome = await listenOn(join(folder, 'no', 'such', 'folder'), () => undefined);
    expect(outcome).toMatchObject({ ok: false });
  });
});
