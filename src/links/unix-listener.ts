import { createServer, connect, type Socket } from 'node:net';
import { lstat, unlink } from 'node:fs/promises';

/** A socket that listens, or in one sentence with a remedy why not. */
export type Listening =
  { readonly ok: true; close(): Promise<void> } | { readonly ok: false; readonly why: string; readonly remedy: string };

/**
 * Listens on a unix socket. A socket file that a program left behind when it ended is replaced; one at which somebody
 * listens, and any other file, is kept.
 *
 * @param onConnection called for each host that connects
 */
export async function listenOn(path: string, onConnection: (socket: Socket) => void): Promise<Listening> {
  const there = await lstat(path).catch(() => undefined);
  if (there !== undefined && !there.isSocket()) {
    return { ok: false, why: `${path} is there and is no socket`, remedy: 'name another path' };
  }
  if (there !== undefined) {
    if (await answers(path)) {
      return { ok: false, why: `another program listens at ${path}`, remedy: 'end it, or name another path' };
    }
    await unlink(path).catch(() => undefined);
  }
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('close', () => sockets.delete(socket));
    onConnection(socket);
  });
  const trouble = await new Promise<NodeJS.ErrnoException | undefined>((resolve) => {
    server.once('error', resolve);
    server.listen(path, () => {
      resolve(undefined);
    });
  });
  if (trouble !== undefined) {
    const why = `cannot listen at ${path}: ${trouble.code ?? trouble.message}`;
    return {
      ok: false,
      why,
      remedy: 'name a path in a folder that you can write; it has at most about 100 characters',
    };
  }
  return {
    ok: true,
    close: () =>
      new Promise((resolve) => {
        // Node removes the socket file with the server.
        server.close(() => {
          resolve();
        });
        for (const socket of sockets) socket.destroy();
      }),
  };
}

/** Whether somebody listens at the socket. */
function answers(path: string): Promise<boolean> {
  return new Promise((resolve) => {
    const probe = connect(path);
    const tell = (answered: boolean): void => {
      probe.destroy();
      resolve(answered);
    };
    probe.once('connect', () => {
      tell(true);
    });
    probe.once('error', () => {
      tell(false);
    });
  });
}
