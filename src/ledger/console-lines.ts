import { concat, noBytes, type Bytes } from '../base/bytes.ts';
import { longestConsoleLine } from '../board/console.ts';
import { decodeUtf8 } from '../values/utf8.ts';

/** What a stream held that is no line: nobody needs it, but a bad cable shows itself here. */
export type LineTroubles = {
  /** Lines of more than 4096 octets, skipped to their end. */
  readonly tooLong: number;
  /** Lines that are no UTF-8. */
  readonly notText: number;
};

const lineFeed = 0x0a;
const carriageReturn = 0x0d;

/**
 * Cuts a board's octets, in pieces of any size, into the lines of its console (docs/console.md, "Lines"): LF, CR LF or CR
 * end a line. It holds at most one line of 4096 octets, and never fails: what is no text is counted and left out. Empty
 * lines are left out too.
 */
export class ConsoleLines {
  readonly #onLine: (line: string) => void;
  #begun: Bytes = noBytes;
  /** The line that comes in has grown too long; its rest is skipped. */
  #skipping = false;
  #afterReturn = false;
  #tooLong = 0;
  #notText = 0;

  constructor(onLine: (line: string) => void) {
    this.#onLine = onLine;
  }

  get troubles(): LineTroubles {
    return { tooLong: this.#tooLong, notText: this.#notText };
  }

  take(octets: Bytes): void {
    let start = 0;
    for (let i = 0; i < octets.length; i++) {
      const octet = octets[i];
      const again = this.#afterReturn && octet === lineFeed;
      this.#afterReturn = octet === carriageReturn;
      if (octet !== lineFeed && octet !== carriageReturn) continue;
      if (!again) this.#end(octets.subarray(start, i));
      start = i + 1;
    }
    this.#keep(octets.subarray(start));
  }

  /** The stream broke off: what has come of the last line is no line. */
  reset(): void {
    this.#begun = noBytes;
    this.#skipping = false;
    this.#afterReturn = false;
  }

  #keep(rest: Bytes): void {
    if (this.#skipping) return;
    if (this.#begun.length + rest.length > longestConsoleLine) {
      this.#begun = noBytes;
      this.#skipping = true;
    } else if (rest.length > 0) {
      this.#begun = concat(this.#begun, rest);
    }
  }

  #end(last: Bytes): void {
    this.#keep(last);
    const whole = this.#begun;
    const skipped = this.#skipping;
    this.#begun = noBytes;
    this.#skipping = false;
    if (skipped) {
      this.#tooLong += 1;
      return;
    }
    if (whole.length === 0) return;
    const decoded = decodeUtf8(whole);
    if (decoded.ok) this.#onLine(decoded.text);
    else this.#notText += 1;
  }
}
