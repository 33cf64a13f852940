import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { closeSync, openSync, readSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { concat, type Bytes } from '../../base/bytes.ts';
import type { Microseconds } from '../../base/quantity.ts';

/** Kinds of frames, both ways (firmware/ports/posix/README.md). */
const kinds = { tick: 0, radio: 1, console: 2 } as const;

/** The most octets of one frame to the process. */
const most = 4096;

/** What a board did between two frames to it. */
export type Turn = {
  readonly sent: Bytes;
  readonly printed: Bytes;
  /** Microseconds until it next wants to run; `undefined`: not before something arrives. */
  readonly wakeIn: number | undefined;
};

/**
 * A firmware process that lives in lock step: it runs only when it is told the time, and this side waits until it rests.
 * So it can live on virtual time, and a run is the same each time. The octets go through two named pipes, which can be
 * read and written without letting other work in between.
 */
export class LockstepProcess {
  readonly #child: ChildProcess;
  readonly #in: number;
  readonly #out: number;
  #alive = true;

  /**
   * @param folder for the pipes; its owner's to delete
   * @throws Error when the pipes cannot be made or the program not be started
   */
  constructor(program: string, folder: string) {
    const pipes = ['to-board', 'from-board'].map((name) => join(folder, name));
    const made = spawnSync('mkfifo', pipes);
    if (made.status !== 0) throw new Error('mkfifo makes no pipes here');
    const [toBoard = '', fromBoard = ''] = pipes;
    // Opening one end waits for the other, so both are held open until each side has its own.
    const held = pipes.map((path) => openSync(path, 'r+'));
    const theirs = [openSync(toBoard, 'r'), openSync(fromBoard, 'w')];
    this.#in = openSync(fromBoard, 'r');
    this.#out = openSync(toBoard, 'w');
    for (const descriptor of held) closeSync(descriptor);
    this.#child = spawn(program, ['--lockstep', 'fd:3,4'], { stdio: ['ignore', 'ignore', 'inherit', ...theirs] });
    // When the process ends, nobody writes to its pipe any more, and reading tells so.
    for (const descriptor of theirs) closeSync(descriptor);
    this.#child.on('error', () => {
      this.#alive = false;
    });
  }

  /** What it did at power-up. */
  begin(): Turn {
    return this.#listen();
  }

  /** Time has come to `now`, microseconds since power-up and never less than before. */
  tick(now: Microseconds): Turn {
    return this.#tell(kinds.tick, now, new Uint8Array(0));
  }

  fromController(now: Microseconds, octets: Bytes): Turn {
    return this.#tellAll(kinds.radio, now, octets);
  }

  type(now: Microseconds, octets: Bytes): Turn {
    return this.#tellAll(kinds.console, now, octets);
  }

  /** Ends the process. */
  stop(): void {
    if (this.#alive) {
      this.#alive = false;
      closeSync(this.#out);
      closeSync(this.#in);
    }
    // It ends by itself when its input does; one that hangs is ended.
    this.#child.kill();
  }

  #tellAll(kind: number, now: Microseconds, octets: Bytes): Turn {
    const turns: Turn[] = [];
    for (let at = 0; at < octets.length; at += most) turns.push(this.#tell(kind, now, octets.subarray(at, at + most)));
    return {
      sent: concat(...turns.map(({ sent }) => sent)),
      printed: concat(...turns.map(({ printed }) => printed)),
      wakeIn: turns.at(-1)?.wakeIn,
    };
  }

  #tell(kind: number, now: Microseconds, octets: Bytes): Turn {
    if (!this.#alive) return dead;
    const head = new DataView(new ArrayBuffer(11));
    head.setUint8(0, kind);
    head.setBigUint64(1, BigInt(now), true);
    head.setUint16(9, octets.length, true);
    try {
      this.#write(concat(new Uint8Array(head.buffer), octets));
    } catch {
      return this.#ended();
    }
    return this.#listen();
  }

  #listen(): Turn {
    const sent: Bytes[] = [];
    const printed: Bytes[] = [];
    for (;;) {
      const head = this.#read(3);
      const body = head === undefined ? undefined : this.#read((head[1] ?? 0) | ((head[2] ?? 0) << 8));
      if (head === undefined || body === undefined) {
        return { ...this.#ended(), sent: concat(...sent), printed: concat(...printed) };
      }
      if (head[0] === kinds.radio) sent.push(body);
      else if (head[0] === kinds.console) printed.push(body);
      else {
        const wake = new DataView(body.buffer, body.byteOffset, 4).getUint32(0, true);
        const wakeIn = wake === 0xffffffff ? undefined : wake;
        return { sent: concat(...sent), printed: concat(...printed), wakeIn };
      }
    }
  }

  /** A process that ended, or was ended by a sanitizer, is a board that is silent from then on. */
  #ended(): Turn {
    if (this.#alive) {
      this.#alive = false;
      closeSync(this.#out);
      closeSync(this.#in);
    }
    return dead;
  }

  #write(octets: Bytes): void {
    for (let at = 0; at < octets.length;) at += writeSync(this.#out, octets, at);
  }

  /** `undefined` when the pipe ended before. */
  #read(length: number): Bytes | undefined {
    const octets = new Uint8Array(length);
    for (let at = 0; at < length;) {
      const count = readSync(this.#in, octets, at, length - at, null);
      if (count === 0) return undefined;
      at += count;
    }
    return octets;
  }
}

const dead: Turn = { sent: new Uint8Array(0), printed: new Uint8Array(0), wakeIn: undefined };
