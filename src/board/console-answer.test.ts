import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';
import { commandHelp } from './console-command.ts';
import { longestCommand } from './console-answer.ts';
import { parseConsoleLine } from './console.ts';

describe('the console', () => {
  it('lists every value', () => {
    const bench = new Bench();
    const lines = bench.type('list');
    expect(lines).toHaveLength(bench.table.values.length + 1);
    expect(lines).toContain('value 0 speed 3200 0.5 Hz');
    expect(lines).toContain('value 0 note 7265616479 ready');
    expect(lines).toContain('value 0 caption - ');
    expect(lines).toContain('value 0 setup 010002 gain 1, points 2');
    expect(lines.at(-1)).toBe('done list');
  });

  it('gets one value with the time on the board', () => {
    const bench = new Bench();
    bench.pass(1234.567);
    expect(bench.type('get dye')).toEqual(['value 1234 dye 00 none', 'done get']);
  });

  it.each([
    ['set speed 1.25', '7d00'],
    ['set speed 1.25 Hz', '7d00'],
    ['set speed =7d00', '7d00'],
    ['set dye rhodamine', '02'],
    ['set lamp on', '01'],
    ['set modes run, log', '05'],
    ['set setup gain=-3, points=4', 'fdff04'],
    ['set samples 1, -1, 2, -2', '0100ffff0200feff'],
    ['set total 18446744073709551615', 'ffffffffffffffff'],
    ['set caption  tight ', '20746967687420'],
    ['set caption a\\nb', '610a62'],
    ['set title =', ''],
  ])('%s', (line, hex) => {
    const bench = new Bench();
    const id = line.split(' ')[1]!;
    const changed = bench.truth(id) !== hex;
    expect(bench.type(line)).toEqual([...(changed ? [`tell 0 ${id} ${hex || '-'} console`] : []), 'done set']);
    expect(bench.truth(id)).toBe(hex);
  });

  it.each([
    ['set speed 4.01', 'error set range 4.01 Hz is outside 0 to 4 Hz'],
    ['set speed =9101', 'error set range 4.01 Hz is outside 0 to 4 Hz'],
    ['set speed =00', 'error set length'],
    ['set speed fast', 'error set type'],
    ['set title =ff', 'error set encoding'],
    ['set title ' + 'x'.repeat(61), 'error set length'],
    ['set dye 7', 'error set range'],
    ['set sped 1', 'error set unknown-id did you mean speed?'],
    ['get sped', 'error get unknown-id did you mean speed?'],
    ['get zzzzzz', 'error get unknown-id type list for the values'],
    ['drop 9', 'error drop no-client no client 9 is connected'],
    ['nonsense', 'error nonsense unknown-command'],
    ['get \ud800', 'error ? not-text'],
  ])('refuses %j and changes nothing', (line, answer) => {
    const bench = new Bench();
    const before = bench.board.state.server;
    const lines = bench.type(line);
    expect(lines).toHaveLength(1);
    expect(lines[0]).toContain(answer);
    expect(bench.board.state.server).toBe(before);
  });

  it('takes lines long enough for the longest value, and no longer', () => {
    const bench = new Bench();
    // `set blob =` and two digits for each of 100 octets.
    expect(longestCommand(bench.table)).toBe(10 + 200);
    expect(bench.type(`set blob =${'00'.repeat(100)}`).at(-1)).toBe('done set');
    expect(bench.type(`set blob =${'00'.repeat(100)} `)).toEqual([
      'error ? line-too-long a line has at most 210 octets',
    ]);
    // The limit counts octets of UTF-8, not characters.
    expect(bench.type('水'.repeat(71))[0]).toMatch(/^error \? line-too-long/);
  });

  it('ignores empty lines', () => {
    const bench = new Bench();
    expect(bench.type('')).toEqual([]);
    expect(bench.type('   ')).toEqual([]);
  });

  it('shows who is connected, how, and to what subscribed', () => {
    const bench = new Bench();
    bench.pass(1500);
    const client = bench.connect('lab bench');
    client.ask('023c00');
    client.encrypt({ authenticated: true });
    client.subscribe('count', 1);
    client.subscribe('alarm', 2);
    expect(bench.type('clients')).toEqual([
      'client 1 lab\\x20bench 1500 60 authenticated count:notify,alarm:indicate',
      'done clients',
    ]);
    expect(new Bench().type('clients')).toEqual(['done clients']);
  });

  it('drops one client, or all', () => {
    const bench = new Bench();
    const [first, second, third] = ['a', 'b', 'c'].map((peer) => bench.connect(peer));
    expect(bench.type('drop 2')).toEqual(['done drop', 'note 0 disconnected 2 terminated']);
    expect([first!.isOpen, second!.isOpen, third!.isOpen]).toEqual([true, false, true]);
    bench.type('drop all');
    expect([first!.isOpen, third!.isOpen]).toEqual([false, false]);
    expect(bench.board.state.clients.size).toBe(0);
  });

  it('tells changes or keeps quiet, as it is told', () => {
    const bench = new Bench();
    expect(bench.type('tell off')).toEqual(['done tell']);
    expect(bench.type('set dye rhodamine')).toEqual(['done set']);
    bench.type('tell on');
    expect(bench.type('set dye none')).toEqual(['tell 0 dye 00 console', 'done set']);
  });

  it('helps with every command, and prints nothing that is no line', () => {
    const bench = new Bench();
    const lines = bench.type('help');
    for (const { usage } of commandHelp) expect(lines.join('\n')).toContain(usage);
    for (const command of ['help', 'list', 'clients', 'hash', 'time', 'screen', 'screen 40x30', 'get speed', 'frob']) {
      for (const line of bench.type(command)) expect(parseConsoleLine(line)).toBeDefined();
    }
  });

  it('has a clock that begins anew after 2^32 milliseconds', () => {
    const bench = new Bench();
    bench.pass(0x1_0000_0000 - 1);
    expect(bench.type('time')).toEqual(['time 4294967295', 'done time']);
    bench.pass(1);
    expect(bench.type('time')).toEqual(['time 0', 'done time']);
  });

  it('notifies a client of what is set on it', () => {
    const bench = new Bench();
    const client = bench.connect();
    client.subscribe('dye', 1);
    bench.type('set dye rhodamine');
    expect(client.values('dye').map(({ value }) => value)).toEqual(['02']);
  });
});
