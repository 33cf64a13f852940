/** Collects lines of text; indentation is kept by the caller's nesting, two blanks a level. */
export class Writer {
  readonly #lines: string[] = [];
  #level = 0;

  line(text = ''): this {
    this.#lines.push(text === '' ? '' : '  '.repeat(this.#level) + text);
    return this;
  }

  lines(texts: Iterable<string>): this {
    for (const text of texts) this.line(text);
    return this;
  }

  /** `open`, the body one level in, `close`. */
  block(open: string, close: string, body: () => void): this {
    this.line(open);
    this.#level += 1;
    body();
    this.#level -= 1;
    return this.line(close);
  }

  /** One empty line, unless there is one already or nothing stands above. */
  gap(): this {
    if (this.#lines.length > 0 && this.#lines.at(-1) !== '') this.#lines.push('');
    return this;
  }

  /** The text, with one line end at its end. */
  text(): string {
    return `${this.#lines.join('\n').replace(/\n+$/, '')}\n`;
  }
}
