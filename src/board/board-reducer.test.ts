import { describe, expect, it } from 'vitest';
import { Bench } from '../../test/support/bench-client.ts';

describe('a board at power-up', () => {
  it('says what it is and what it holds, and advertises', () => {
    const bench = new Bench();
    const lines = bench.printed();
    expect(lines[0]).toMatch(/^note 0 start [0-9a-f]{32}$/);
    expect(lines).toContain('tell 0 speed 3200 start');
    expect(lines).toContain('tell 0 note 7265616479 start');
    expect(lines).toContain('tell 0 caption - start');
    expect(lines.at(-1)).toBe('note 0 advertising on');
    expect(bench.board.advertising).toBe(true);
  });
});

describe('a client', () => {
  it('reads and writes the truth', () => {
    const bench = new Bench();
    const client = bench.connect();
    bench.printed();
    expect(client.read('speed')).toEqual(['0b3200']);
    expect(client.write('speed', '7d00')).toEqual(['13']);
    expect(bench.printed()).toEqual(['tell 0 speed 7d00 air']);
    expect(client.read('speed')).toEqual(['0b7d00']);
  });

  it('is refused what the contract forbids, and nothing changes', () => {
    const bench = new Bench();
    const client = bench.connect();
    bench.printed();
    const handle = client.handle('speed').toString(16).padStart(2, '0');
    // 4.01 Hz; three octets; Core Vol 3 Part F 3.4.1.1 error codes, 0xFF from the Core Specification Supplement.
    expect(client.write('speed', '9101')).toEqual([`0112${handle}00ff`]);
    expect(client.write('speed', '000000')).toEqual([`0112${handle}000d`]);
    expect(bench.printed()).toEqual(['note 0 refused 1 speed write ff', 'note 0 refused 1 speed write 0d']);
    expect(bench.truth('speed')).toBe('3200');
  });

  it('is not told a write that changes nothing', () => {
    const bench = new Bench();
    const client = bench.connect();
    bench.printed();
    expect(client.write('speed', '3200')).toEqual(['13']);
    expect(bench.printed()).toEqual([]);
  });

  it('gets the first value of a periodic one after the answer to its subscription', () => {
    const bench = new Bench();
    const client = bench.connect();
    const [answer, first, ...more] = client.subscribe('level', 1);
    expect(answer).toBe('13');
    expect(first).toMatch(/^1b....0000$/);
    expect(more).toEqual([]);
  });

  it('comes and goes on the console', () => {
    const bench = new Bench();
    bench.printed();
    const client = bench.connect('bench laptop');
    client.subscribe('count', 1);
    client.encrypt();
    client.connection.end('terminated');
    expect(bench.printed()).toEqual([
      'note 0 connected 1 bench\\x20laptop',
      'note 0 subscribed 1 count notify',
      'note 0 secured 1 encrypted',
      'note 0 disconnected 1 terminated',
      'note 0 armed speed 2000',
      'note 0 armed valve 0',
      'tell 0 valve 00 failsafe',
    ]);
  });

  it('is dropped when its confirmation does not come', () => {
    const bench = new Bench();
    const client = bench.connect();
    client.subscribe('alarm', 2);
    bench.type('set alarm 1');
    expect(client.received()).toHaveLength(1);
    bench.pass(29_999);
    expect(client.isOpen).toBe(true);
    bench.pass(1);
    expect(client.isOpen).toBe(false);
    expect(bench.board.state.clients.size).toBe(0);
  });
});

describe('advertising', () => {
  it('stops when there is no room for another client, and starts again', () => {
    const bench = new Bench({ clients: 2 });
    const first = bench.connect('first');
    expect(bench.board.advertising).toBe(true);
    bench.connect('second');
    expect(bench.board.advertising).toBe(false);
    expect(() => bench.connect('third')).toThrow('does not advertise');
    first.connection.end('lost');
    expect(bench.board.advertising).toBe(true);
  });
});

describe('what makes no sense', () => {
  it('changes nothing', () => {
    const bench = new Bench();
    const client = bench.connect();
    client.connection.end('terminated');
    const before = bench.board.state;
    client.connection.send(Uint8Array.of(0x0a, 1, 0));
    client.connection.end('lost');
    expect(bench.board.state).toBe(before);
  });
});
