/** A key of a mapping, or the index of a list's item. */
export type Step = string | number;

/**
 * Where in the contract a place of its text is. Told also of texts that are half written, where a parser gives up: by
 * indentation and brackets alone.
 */
export type TextPlace = {
  /**
   * `key`: a key of the mapping at `path` is written here. `value`: the value at `path`. `item`: the value at `path`,
   * an item of a list, that may still become a mapping with the word as its first key.
   */
  readonly kind: 'key' | 'value' | 'item';
  readonly path: readonly Step[];
  /** The word that is being written; `to` is its end, which may lie behind the place. */
  readonly from: number;
  readonly to: number;
  /** Keys of the mapping around the place, also those behind it, with their values where these are plain. */
  readonly keys: ReadonlyMap<string, string>;
  /** Plain items of the list around the place. */
  readonly items: readonly string[];
  /** Within brackets. */
  readonly flow: boolean;
};

type MapFrame = {
  readonly kind: 'map';
  /** Column of the keys; `undefined` within brackets. */
  readonly indent: number | undefined;
  readonly path: readonly Step[];
  readonly keys: Map<string, string>;
  key: string | undefined;
};
type ListFrame = {
  readonly kind: 'list';
  readonly indent: number | undefined;
  readonly path: readonly Step[];
  readonly items: string[];
  index: number;
};
type Frame = MapFrame | ListFrame;

/** The place at an offset of the text; `undefined` in a comment, or where nothing can be written. */
export function placeAt(text: string, offset: number): TextPlace | undefined {
  const scanner = new Scanner(text, offset);
  scanner.run();
  return scanner.found;
}

const plainKey = /^(?:"[^"\n]*"|'[^'\n]*'|[^\s#[\]{},:"'][^#[\]{},\n]*?)[ \t]*:(?=[ \t\r\n]|$)/;

/** Reads the whole text once, so that what stands behind the place is known too. */
class Scanner {
  found: TextPlace | undefined;
  readonly #text: string;
  readonly #offset: number;
  #at = 0;
  #frames: Frame[] = [];

  constructor(text: string, offset: number) {
    this.#text = text;
    this.#offset = offset;
  }

  run(): void {
    while (this.#at < this.#text.length || (this.#at === this.#text.length && this.#offset === this.#at)) {
      const start = this.#at;
      this.#line();
      if (this.#at <= start) break;
    }
  }

  /** One line of block style, or more where brackets run on. */
  #line(): void {
    const end = this.#lineEnd(this.#at);
    const line = this.#text.slice(this.#at, end);
    const body = line.search(/[^ \t\r]/);
    if (body < 0 || line[body] === '#') {
      this.#emptyLine(this.#at, body < 0 ? end : this.#at + body);
      this.#at = end + 1;
      return;
    }
    let column = body;
    let at = this.#at + body;
    this.#closeTo(column, /^-(?:\s|$)/.test(line.slice(body)));
    while (this.#text[at] === '-' && /^(?:\s|$)/.test(this.#text.slice(at + 1, at + 2))) {
      this.#openItem(column);
      const blanks = /^-[ \t]*/.exec(this.#text.slice(at, end))?.[0].length ?? 1;
      if (this.#offset > at && this.#offset < at + blanks) this.#see('item', this.#offset, this.#offset);
      at += blanks;
      column += blanks;
    }
    if (at >= end) {
      if (this.#offset === end) this.#see('item', end, end);
      this.#at = end + 1;
      return;
    }
    const key = plainKey.exec(this.#text.slice(at, end))?.[0];
    if (key === undefined) this.#blockScalar(at, end, column);
    else this.#blockPair(at, key, end, column);
  }

  #blockPair(at: number, key: string, end: number, column: number): void {
    const name = unquoted(key.slice(0, -1).trim());
    const frame = this.#mapAt(column);
    frame.key = name;
    frame.keys.set(name, '');
    const colon = at + key.length;
    if (this.#within(at, colon - 1)) this.#see('key', at, colon - 1);
    const value = colon + (/^[ \t]*/.exec(this.#text.slice(colon, end))?.[0].length ?? 0);
    if (this.#offset >= colon && this.#offset < value) this.#see('value', this.#offset, this.#offset);
    this.#value(value, end, (text) => frame.keys.set(name, text));
    this.#skipBlockScalar(value, end, column);
  }

  /** A line with neither key nor hyphen: an item, or a key that is being written. */
  #blockScalar(at: number, end: number, column: number): void {
    const top = this.#frames.at(-1);
    if (top?.kind === 'list') {
      this.#value(at, end, (text) => top.items.push(text), 'item');
      return;
    }
    const stop = plainEnd(this.#text, at, end);
    if (this.#within(at, stop)) this.#keyAt(column, at, stop);
    this.#at = end + 1;
  }

  /** A value on the rest of a line; brackets may take it further. */
  #value(at: number, end: number, keep: (text: string) => void, kind: 'value' | 'item' = 'value'): void {
    const first = this.#text[at];
    if (first === '{' || first === '[') {
      this.#at = this.#flow(at, this.#indentOfLine(at));
      const rest = this.#lineEnd(this.#at);
      this.#at = rest + 1;
      return;
    }
    const stop = first === '#' ? at : plainEnd(this.#text, at, end);
    const text = this.#text.slice(at, stop);
    keep(unquoted(text.trim()));
    if (this.#within(at, stop)) this.#see(kind, at, stop);
    this.#at = end + 1;
  }

  /** Reads brackets from their opening; gives the offset behind their end. */
  #flow(start: number, indent: number): number {
    const depth = this.#frames.length;
    let at = start;
    while (at < this.#text.length) {
      const char = this.#text[at] ?? '';
      const top = this.#frames.at(-1);
      if (this.#offset === at && this.found === undefined && at > start && !/[\s{[]/.test(char))
        this.#seeFlow(at, at, true);
      if (char === '{' || char === '[') {
        if (this.#offset === at && at > start) this.#seeFlow(at, at, true);
        this.#push(char === '{' ? 'map' : 'list', undefined);
        at += 1;
      } else if (char === '}' || char === ']') {
        this.#frames.pop();
        at += 1;
        if (this.#frames.length <= depth) return at;
      } else if (char === ',') {
        if (top?.kind === 'map') top.key = undefined;
        if (top?.kind === 'list') top.index += 1;
        at += 1;
      } else if (char === '\n') {
        if (this.#offset === at) this.#seeFlow(at, at, true);
        // Brackets that nobody closed end where the lines go on as before them.
        const next = /^([ \t]*)(?:-\s|[a-z][a-z-]*:)/.exec(this.#text.slice(at + 1, at + 200));
        if (next !== null && (next[1]?.length ?? 0) <= indent) break;
        at += 1;
      } else if (char === '#' && /\s/.test(this.#text[at - 1] ?? ' ')) {
        at = this.#lineEnd(at);
      } else if (/\s/.test(char)) {
        if (this.#offset === at) this.#seeFlow(at, at, true);
        at += 1;
      } else {
        at = this.#flowWord(at);
      }
    }
    this.#frames.length = Math.min(this.#frames.length, depth);
    return at;
  }

  #flowWord(at: number): number {
    const rest = this.#text.slice(at, this.#lineEnd(at));
    const word =
      /^(?:"[^"]*"?|'[^']*'?|:(?=[^\s,[\]{}])|[^\s,[\]{}:]|[ \t]+(?=[^\s#,[\]{}:])|:(?=\S))+/.exec(rest)?.[0] ??
      rest[0] ??
      '';
    const end = at + word.length;
    const top = this.#frames.at(-1);
    const isKey = top?.kind === 'map' && top.key === undefined;
    if (this.#within(at, end) && word !== ':') {
      this.found = undefined;
      this.#seeFlow(at, end, false);
    }
    if (word === ':') return end;
    if (isKey) {
      top.key = unquoted(word);
      top.keys.set(top.key, '');
      const colon = /^[ \t]*:/.exec(this.#text.slice(end, end + 20))?.[0].length;
      if (colon === undefined) top.key = undefined;
      return end + (colon ?? 0);
    }
    if (top?.kind === 'map' && top.key !== undefined) top.keys.set(top.key, unquoted(word));
    if (top?.kind === 'list') top.items.push(unquoted(word));
    return end;
  }

  #seeFlow(from: number, to: number, only: boolean): void {
    if (only && this.found !== undefined) return;
    const top = this.#frames.at(-1);
    if (top === undefined) return;
    const isKey = top.kind === 'map' && top.key === undefined;
    this.#see(isKey ? 'key' : top.kind === 'list' ? 'item' : 'value', from, to, true);
  }

  #see(kind: TextPlace['kind'], from: number, to: number, flow = false): void {
    const top = this.#frames.at(-1);
    if (this.found !== undefined || top === undefined) return;
    const path = kind === 'key' ? top.path : pathInto(top);
    this.found = { kind, path, from, to, keys: keysOf(top), items: itemsOf(top), flow };
  }

  /** A key that is written at this column, in a mapping that may not be there yet. */
  #keyAt(column: number, from: number, to: number): void {
    const top = this.#frames.at(-1);
    const isNew =
      top === undefined || top.kind === 'list' || (top.indent !== column && top.keys.get(top.key ?? '') === '');
    if (isNew) this.#push('map', column);
    else if (top.indent !== column) return;
    this.#see('key', from, to);
  }

  #emptyLine(start: number, end: number): void {
    if (this.#offset < start || this.#offset > end) return;
    const column = this.#offset - start;
    const frames = [...this.#frames];
    this.#closeTo(column, false);
    const closed = this.#frames.length < frames.length;
    this.#keyAt(column, this.#offset, this.#offset);
    // An empty line ends nothing: what is deeper goes on below it.
    if (closed) this.#frames = frames;
  }

  #closeTo(column: number, isItem: boolean): void {
    for (let top = this.#frames.at(-1); top !== undefined; top = this.#frames.at(-1)) {
      const { indent = Infinity } = top;
      if (indent < column || (indent === column && (top.kind === 'map' || isItem))) return;
      this.#frames.pop();
    }
  }

  #openItem(column: number): void {
    const top = this.#frames.at(-1);
    if (top?.kind === 'list' && top.indent === column) top.index += 1;
    else this.#push('list', column);
  }

  #mapAt(column: number): MapFrame {
    const top = this.#frames.at(-1);
    if (top?.kind === 'map' && top.indent === column) return top;
    return this.#push('map', column) as MapFrame;
  }

  #push(kind: Frame['kind'], indent: number | undefined): Frame {
    const top = this.#frames.at(-1);
    const path = top === undefined ? [] : pathInto(top);
    const frame: Frame =
      kind === 'map'
        ? { kind, indent, path, keys: new Map(), key: undefined }
        : { kind, indent, path, items: [], index: 0 };
    this.#frames.push(frame);
    return frame;
  }

  /** Text behind `|` or `>` is no contract. */
  #skipBlockScalar(value: number, end: number, column: number): void {
    if (!/^[|>][-+0-9]*[ \t]*$/.test(this.#text.slice(value, end).trim())) return;
    while (this.#at < this.#text.length) {
      const stop = this.#lineEnd(this.#at);
      const line = this.#text.slice(this.#at, stop);
      const body = line.search(/\S/);
      if (body >= 0 && body <= column) return;
      this.#at = stop + 1;
    }
  }

  #within(from: number, to: number): boolean {
    return this.#offset >= from && this.#offset <= to;
  }

  #lineEnd(at: number): number {
    const end = this.#text.indexOf('\n', at);
    return end < 0 ? this.#text.length : end;
  }

  #indentOfLine(at: number): number {
    const start = this.#text.lastIndexOf('\n', at - 1) + 1;
    return this.#text.slice(start, at).search(/[^ ]|$/);
  }
}

function pathInto(frame: Frame): readonly Step[] {
  return [...frame.path, frame.kind === 'map' ? (frame.key ?? '') : frame.index];
}

function keysOf(frame: Frame): ReadonlyMap<string, string> {
  return frame.kind === 'map' ? frame.keys : new Map<string, string>();
}

function itemsOf(frame: Frame): readonly string[] {
  return frame.kind === 'list' ? frame.items : [];
}

/** End of a plain or quoted scalar on one line, without blanks and comment behind it. */
function plainEnd(text: string, at: number, end: number): number {
  const line = text.slice(at, end);
  const quoted = /^(?:"(?:[^"\\]|\\.)*"|'[^']*')/.exec(line)?.[0];
  if (quoted !== undefined) return at + quoted.length;
  const comment = line.search(/[ \t]#/);
  return at + (comment < 0 ? line : line.slice(0, comment)).trimEnd().length;
}

function unquoted(text: string): string {
  return /^(["']).*\1$/s.test(text) ? text.slice(1, -1) : text;
}
