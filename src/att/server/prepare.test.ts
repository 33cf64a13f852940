import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { handTable, lab, labIndex, labTable } from '../../../test/support/att-table.ts';
import { concat, toHex, u16le } from '../../base/bytes.ts';

const prepare = (handle: number, offset: number, part: Uint8Array): Uint8Array =>
  concat([0x16], u16le(handle), u16le(offset), part);
const letters = (text: string): Uint8Array => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

describe('prepared writes', () => {
  it('echo each part and write all at once', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask(`16 1300 0000 ${'61'.repeat(18)}`)).toBe('1713000000' + '61'.repeat(18));
    expect(bench.ask('16 1300 1200 6262')).toBe('17130012006262');
    expect(bench.ask('0a 1300')).toBe('0b6869');
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(labIndex.note)).toBe('61'.repeat(18) + '6262');
    expect(bench.told().map(({ kind }) => kind)).toEqual(['written']);
    expect(bench.connection().prepared).toEqual([]);
  });

  it('are cancelled as a whole', () => {
    const bench = new ServerBench(labTable());
    bench.ask('16 1300 0000 6161');
    expect(bench.ask('18 00')).toBe('19');
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(labIndex.note)).toBe('6869');
    expect(bench.told()).toEqual([]);
  });

  it('write several values in one go', () => {
    const bench = new ServerBench(labTable());
    bench.ask('16 1000 0000 05');
    bench.ask('16 1300 0000 6f6b');
    expect(bench.ask('18 01')).toBe('19');
    expect([bench.value(labIndex.level), bench.value(labIndex.note)]).toEqual(['05', '6f6b']);
  });

  it('reach CCCDs too', () => {
    const bench = new ServerBench(labTable());
    bench.ask('16 1100 0000 01');
    bench.ask('16 1100 0100 00');
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.ask('0a 1100')).toBe('0b0100');
  });

  it('change nothing at all when one of them is refused, and are gone then', () => {
    const bench = new ServerBench(labTable());
    bench.ask('16 1300 0000 6f6b');
    bench.ask('16 1000 0000 65');
    expect(bench.ask('18 01')).toBe('0118100080');
    expect([bench.value(labIndex.level), bench.value(labIndex.note)]).toEqual(['2a', '6869']);
    expect(bench.told()).toEqual([]);
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(labIndex.note)).toBe('6869');
  });

  it.each([
    ['behind the value', [prepare(lab.note, 3, letters('x'))], '0118130007'],
    [
      'behind what was prepared',
      [prepare(lab.note, 0, letters('x')), prepare(lab.note, 4, letters('y'))],
      '0118130007',
    ],
    ['beyond the greatest length', [prepare(lab.level, 1, letters('x'))], '011810000d'],
    ['a character cut at the end', [prepare(lab.note, 0, Uint8Array.of(0xc3))], '01181300ff'],
    ['configuration bits that do not exist', [prepare(lab.levelCccd, 0, Uint8Array.of(2, 0))], '01181100fd'],
  ])('are refused at execution: %s', (_, parts, response) => {
    const bench = new ServerBench(labTable());
    for (const part of parts) expect(bench.ask(part)).toBe('17' + toHex(part).slice(2));
    expect(bench.ask('18 01')).toBe(response);
    expect(bench.value(labIndex.note)).toBe('6869');
  });

  it.each([
    ['no attribute', prepare(0x24, 0, letters('x')), '0116240001'],
    ['not writable', prepare(lab.block, 0, letters('x')), '0116160003'],
    ['only written by command', prepare(lab.pulse, 0, letters('x')), '0116200003'],
    ['not secure', prepare(lab.secret, 0, letters('x')), '01161b0005'],
  ])('are refused at once: %s', (_, part, response) => {
    const bench = new ServerBench(labTable());
    expect(bench.ask(part)).toBe(response);
    expect(bench.connection().prepared).toEqual([]);
  });

  it('need the security still when they are executed', () => {
    const bench = new ServerBench(labTable());
    bench.secure({ encrypted: true });
    bench.ask('16 1b00 0000 05');
    bench.secure({ encrypted: false });
    expect(bench.ask('18 01')).toBe('01181b0005');
  });

  it('have a bound for each client, counted with 4 octets a part', () => {
    const bench = new ServerBench(labTable(), { prepareQueueBytes: 50 });
    bench.connect(2, 'second');
    expect(bench.ask(prepare(lab.note, 0, new Uint8Array(18))).slice(0, 2)).toBe('17');
    expect(bench.ask(prepare(lab.note, 18, new Uint8Array(18))).slice(0, 2)).toBe('17');
    expect(bench.ask(prepare(lab.note, 36, new Uint8Array(3)))).toBe('0116130009');
    expect(bench.ask(prepare(lab.note, 0, new Uint8Array(18)), 2).slice(0, 2)).toBe('17');
    expect(bench.ask(prepare(lab.note, 36, new Uint8Array(2))).slice(0, 2)).toBe('17');
    expect(bench.ask(prepare(lab.note, 0, new Uint8Array(0)))).toBe('0116130009');
    expect(bench.ask('18 01')).toBe('19');
  });

  it('carry a value of 512 octets in parts of 18', () => {
    const table = handTable([
      {
        uuid: '180F',
        characteristics: [
          { id: 'big', uuid: '2A3D', access: ['read', 'write'], type: { kind: 'bytes', minLength: 0, maxLength: 512 } },
        ],
      },
    ]);
    const bench = new ServerBench(table);
    const value = Uint8Array.from({ length: 512 }, (_, i) => i);
    for (let at = 0; at < 512; at += 18)
      expect(bench.ask(prepare(3, at, value.slice(at, at + 18))).slice(0, 2)).toBe('17');
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(0)).toBe(toHex(value));
  });

  it('are gone with the connection', () => {
    const bench = new ServerBench(labTable());
    bench.ask('16 1300 0000 6161');
    bench.disconnect();
    bench.connect(2, 'first');
    expect(bench.ask('18 01', 2)).toBe('19');
    expect(bench.value(labIndex.note)).toBe('6869');
  });
});

describe('parts of a value', () => {
  const result = (start: string, ...parts: readonly (readonly [offset: number, part: string])[]): string => {
    const bench = new ServerBench(labTable());
    bench.set(labIndex.note, toHex(letters(start)));
    for (const [offset, part] of parts) bench.ask(prepare(lab.note, offset, letters(part)));
    bench.ask('18 01');
    return String.fromCharCode(...(bench.state.values[labIndex.note] ?? []));
  };

  it('from offset 0 on are the whole new value', () => {
    expect(result('a long text', [0, 'new'])).toBe('new');
    expect(result('a long text', [0, 'new '], [4, 'one'])).toBe('new one');
    expect(result('a long text', [0, ''])).toBe('');
  });

  it('from a later offset on change a piece', () => {
    expect(result('a long text', [2, 'LONG'])).toBe('a LONG text');
    expect(result('a long text', [7, 'story'])).toBe('a long story');
    expect(result('a long text', [11, '!'])).toBe('a long text!');
  });

  it('later ones win where they overlap, and may come in any order', () => {
    expect(result('abcdef', [0, 'XXXX'], [2, 'yy'])).toBe('XXyy');
    expect(result('abcdef', [3, 'yyy'], [0, 'XXX'])).toBe('XXXyyy');
  });

  it('of a value of fixed length leave the rest as it is', () => {
    const table = handTable([
      {
        uuid: '180F',
        characteristics: [
          {
            id: 'four',
            uuid: '2A3D',
            access: ['write'],
            type: { kind: 'bytes', minLength: 4, maxLength: 4 },
            start: letters('abcd'),
          },
        ],
      },
    ]);
    const bench = new ServerBench(table);
    bench.ask(prepare(3, 0, letters('X')));
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(0)).toBe(toHex(letters('Xbcd')));
  });
});

/** A small model of the queue: a list of parts, and the text. Every part begins where the text so far ends, or at 0. */
type Model = { text: string; queue: { offset: number; part: string }[] };

class Prepare implements fc.Command<Model, ServerBench> {
  readonly offset: number;
  readonly part: string;
  constructor(offset: number, part: string) {
    this.offset = offset;
    this.part = part;
  }
  check(): boolean {
    return true;
  }
  run(model: Model, bench: ServerBench): void {
    const request = prepare(lab.note, this.offset, letters(this.part));
    const queued = model.queue.reduce((sum, { part }) => sum + 4 + part.length, 0);
    if (queued + 4 + this.part.length > 100) {
      expect(bench.ask(request)).toBe('0116130009');
      return;
    }
    expect(bench.ask(request)).toBe('17' + toHex(request).slice(2));
    model.queue.push({ offset: this.offset, part: this.part });
  }
  toString(): string {
    return `prepare ${this.offset} ${this.part}`;
  }
}

class Execute implements fc.Command<Model, ServerBench> {
  check(): boolean {
    return true;
  }
  run(model: Model, bench: ServerBench): void {
    const answer = bench.ask('18 01');
    let text = model.text;
    let code: string | undefined;
    for (const { offset, part } of model.queue) {
      if (offset > text.length) code ??= '07';
      else if (offset + part.length > 60) code ??= '0d';
      else text = text.slice(0, offset) + part + text.slice(offset + part.length);
    }
    if (model.queue.some(({ offset }) => offset === 0)) {
      text = text.slice(0, Math.max(...model.queue.map(({ offset, part }) => offset + part.length)));
    }
    expect(answer).toBe(code === undefined ? '19' : `01181300${code}`);
    if (code === undefined) model.text = text;
    model.queue = [];
    expect(bench.value(labIndex.note)).toBe(toHex(letters(model.text)));
  }
  toString(): string {
    return 'execute';
  }
}

class Cancel implements fc.Command<Model, ServerBench> {
  check(): boolean {
    return true;
  }
  run(model: Model, bench: ServerBench): void {
    expect(bench.ask('18 00')).toBe('19');
    model.queue = [];
  }
  toString(): string {
    return 'cancel';
  }
}

describe('a long story of prepared writes', () => {
  it('goes as the model says', () => {
    const word = fc.array(fc.constantFrom('a', 'b', 'c'), { maxLength: 18 }).map((all) => all.join(''));
    const commands = fc.commands(
      [
        fc.tuple(fc.oneof(fc.constant(0), fc.nat(64)), word).map(([offset, part]) => new Prepare(offset, part)),
        fc.constant(new Execute()),
        fc.constant(new Cancel()),
      ],
      { maxCommands: 40 },
    );
    fc.assert(
      fc.property(commands, (list) => {
        fc.modelRun(
          () => ({
            model: { text: 'hi', queue: [] },
            real: new ServerBench(labTable(), { prepareQueueBytes: 100 }),
          }),
          list,
        );
      }),
      { numRuns: 150 },
    );
  });
});
