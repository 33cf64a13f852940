import type { Loaded } from './load-contract.ts';
import { EarlyOctets, streamConsole, type StreamConsole } from './console-stream.ts';

export type SerialOptions = {
  /** Symbols a second; 8 data bits, no parity, 1 stop bit. */
  readonly baud: number;
};

export type SerialConsole = StreamConsole & { close(): Promise<void> };

/** A serial port that the system knows, and what it says of it. */
export type SerialPlace = { readonly path: string; readonly about: string };

/** What this file uses of the package `serialport`, which is optional. */
type Port = {
  on(event: 'data', listener: (octets: Uint8Array) => void): void;
  on(event: 'close' | 'error', listener: (error?: Error) => void): void;
  write(octets: Uint8Array): boolean;
  open(callback: (error: Error | null | undefined) => void): void;
  close(callback: (error: Error | null | undefined) => void): void;
  readonly isOpen: boolean;
};
type SerialPackage = {
  readonly SerialPort: {
    new (options: { path: string; baudRate: number; autoOpen: false; highWaterMark: number }): Port;
    list(): Promise<{ path: string; manufacturer?: string | undefined; serialNumber?: string | undefined }[]>;
  };
};

/** Octets that are read at once: half a second of 1 Mbaud. */
const readAhead = 65_536;

/**
 * Opens a board's console on a serial port.
 *
 * @param path `/dev/ttyACM0`, `COM3`
 */
export async function serialConsole(path: string, { baud }: SerialOptions): Promise<Loaded<SerialConsole>> {
  const loaded = await serialPackage();
  if (!loaded.ok) return loaded;
  const port = new loaded.value.SerialPort({ path, baudRate: baud, autoOpen: false, highWaterMark: readAhead });
  const octets = new EarlyOctets();
  let ended = false;
  let tell: () => void = () => undefined;
  const end = (): void => {
    if (ended) return;
    ended = true;
    tell();
  };
  port.on('data', (piece) => {
    octets.put(Uint8Array.from(piece));
  });
  // A board that is unplugged ends the stream by an error, a closing, or both.
  port.on('close', end);
  port.on('error', end);
  const failure = await new Promise<Error | undefined>((resolve) => {
    port.open((error) => {
      resolve(error ?? undefined);
    });
  });
  if (failure !== undefined) return notOpened(path, failure);
  const console = streamConsole({
    send: (piece) => {
      if (!ended) port.write(piece);
    },
    onOctets: (take) => {
      octets.listen(take);
    },
    onClose: (listener) => {
      tell = listener;
      if (ended) listener();
    },
  });
  return {
    ok: true,
    value: Object.assign(console, {
      close: () =>
        new Promise<void>((resolve) => {
          if (port.isOpen)
            port.close(() => {
              resolve();
            });
          else resolve();
        }),
    }),
  };
}

/** The serial ports that there are. */
export async function serialPlaces(): Promise<Loaded<readonly SerialPlace[]>> {
  const loaded = await serialPackage();
  if (!loaded.ok) return loaded;
  const ports = await loaded.value.SerialPort.list();
  const value = ports.map(({ path, manufacturer, serialNumber }) => ({
    path,
    about: [manufacturer, serialNumber].filter((word) => word !== undefined && word !== '').join(', '),
  }));
  return { ok: true, value };
}

async function serialPackage(): Promise<Loaded<SerialPackage>> {
  try {
    // By a name that the bundler does not see: who has no serial port needs no such package.
    const name = 'serialport';
    return { ok: true, value: (await import(name)) as SerialPackage };
  } catch {
    return {
      ok: false,
      message: 'the optional package `serialport` is not installed, and serial ports need it',
      hint: 'run `npm install serialport` in the folder of gattwright',
    };
  }
}

function notOpened(path: string, { message }: Error): Loaded<never> {
  const reasons: readonly (readonly [RegExp, string, string])[] = [
    [/no such file|file not found/i, 'there is no such port', 'plug the board in, and name the port that appears'],
    [
      /permission|access denied/i,
      'you may not use it',
      'join the group that owns it, often `dialout`, and log in again',
    ],
    [/lock|busy|resource temporarily/i, 'another program uses it', 'close the other program'],
  ];
  const [, why, hint] = reasons.find(([pattern]) => pattern.test(message)) ?? [undefined, message, 'name another port'];
  return { ok: false, message: `\`${path}\` cannot be opened: ${why}`, hint };
}
