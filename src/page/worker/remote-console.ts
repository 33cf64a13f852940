import type { ConsolePort } from '../../att/link.ts';

/** Lines that wait for somebody to listen: what a board prints while its contract is prepared. */
const mostEarly = 2000;

/** A console that the window holds, since only it may ask for a serial port: its lines come and go as messages. */
export class RemoteConsole implements ConsolePort {
  readonly #send: (line: string) => void;
  readonly #listeners = new Set<(line: string) => void>();
  #early: string[] = [];

  /** @param send takes a line to the window */
  constructor(send: (line: string) => void) {
    this.#send = send;
  }

  /** Lines that the board printed. */
  take(lines: readonly string[]): void {
    if (this.#listeners.size === 0) {
      this.#early = [...this.#early, ...lines].slice(-mostEarly);
      return;
    }
    for (const line of lines) for (const listener of this.#listeners) listener(line);
  }

  send(line: string): void {
    this.#send(line);
  }

  onLine(listener: (line: string) => void): () => void {
    this.#listeners.add(listener);
    const early = this.#early;
    this.#early = [];
    for (const line of early) listener(line);
    return () => {
      this.#listeners.delete(listener);
    };
  }
}
