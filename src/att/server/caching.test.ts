import { describe, expect, it } from 'vitest';
import { bondedLink, ServerBench } from '../../../test/support/att-bench.ts';
import { labIndex, labTable } from '../../../test/support/att-table.ts';

const robust = '12 0b00 01';

function changed(bench: ServerBench, start = 0x0e, end = 0x23): void {
  bench.event({ kind: 'database-changed', start, end });
}

/** A client with robust caching that does not know of a change. */
function unaware(): ServerBench {
  const bench = new ServerBench(labTable());
  bench.ask(robust);
  changed(bench);
  return bench;
}

/** Core Vol 3 Part G 2.5.2.1 (from memory). */
describe('a change-unaware client with robust caching', () => {
  it.each([
    ['Read', '0a 1000', '010a100012'],
    ['Read Blob', '0c 1000 0000', '010c100012'],
    ['Read Multiple', '0e 1000 1600', '010e100012'],
    ['Read Multiple Variable', '20 1600 1000', '0120160012'],
    ['Write', '12 1000 01', '0112100012'],
    ['Prepare Write', '16 1000 0000 01', '0116100012'],
    ['Read By Type in a part of the handles', '08 0100 fffe d0418e5b0c2f779a3a4c5e0f02001d6b', '0108010012'],
    ['a handle that does not exist', '0a 9900', '010a990012'],
  ])('is told once that it is out of sync: %s', (_, request, response) => {
    const bench = unaware();
    expect(bench.ask(request)).toBe(response);
    expect(bench.ask(request)).not.toBe(response);
    expect(bench.connection().changeAware).toBe('aware');
  });

  it.each([
    ['Exchange MTU', '02 1700', '030502'],
    ['Find Information', '04 0100 0100', '050101000028'],
    ['Find By Type Value', '06 0100 ffff 0028 0118', '0706000d00'],
    ['Read By Group Type', '10 0100 0500 0028', '11060100050000' + '18'],
    ['Read By Type of characteristics', '08 0100 0300 0328', '09070200020300002a'],
    ['Read By Type of includes', '08 0100 0300 0228', '010801000a'],
    ['Read By Type of all handles', '08 0100 ffff d0418e5b0c2f779a3a4c5e0f02001d6b', '090310002a'],
    ['Execute Write of nothing', '18 01', '19'],
  ])('may discover anew without becoming aware: %s', (_, request, response) => {
    const bench = unaware();
    expect(bench.ask(request)).toBe(response);
    expect(bench.connection().changeAware).toBe('unaware');
  });

  it('becomes aware with the request after it has read the hash', () => {
    const bench = unaware();
    expect(bench.ask('08 0100 ffff 2a2b').slice(0, 8)).toBe('09120d00');
    expect(bench.connection().changeAware).toBe('told');
    expect(bench.ask('0a 1000')).toBe('0b2a');
    expect(bench.connection().changeAware).toBe('aware');
  });

  it('becomes aware by confirming Service Changed', () => {
    const bench = new ServerBench(labTable());
    bench.ask(robust);
    bench.ask('12 0900 0200');
    changed(bench);
    expect(bench.sent()).toBe('1d08000e002300');
    expect(bench.ask('1e')).toBe('');
    expect(bench.told()).toEqual([{ kind: 'confirmed', connection: 1, index: undefined }]);
    expect(bench.ask('0a 1000')).toBe('0b2a');
  });

  it('does not become aware by confirming something else, or an older change', () => {
    const bench = new ServerBench(labTable());
    bench.ask(robust);
    bench.ask('12 0900 0200');
    changed(bench, 1, 5);
    changed(bench, 6, 9);
    changed(bench, 3, 7);
    expect(bench.effects).toEqual([]);
    expect(bench.ask('1e')).toBe('1d080003000900');
    expect(bench.connection().changeAware).toBe('unaware');
    bench.ask('1e');
    expect(bench.connection().changeAware).toBe('aware');
  });

  it('is told again when the database changes again', () => {
    const bench = unaware();
    bench.ask('0a 1000');
    changed(bench);
    expect(bench.ask('0a 1000')).toBe('010a100012');
    expect(bench.ask('0a 1000')).toBe('0b2a');
  });

  it('has its commands ignored until it is aware', () => {
    const bench = unaware();
    bench.ask('52 2000 09');
    expect(bench.value(labIndex.pulse)).toBe('00');
    bench.ask('0a 1000');
    bench.ask('52 2000 09');
    expect(bench.value(labIndex.pulse)).toBe('00');
    bench.ask('0a 1000');
    bench.ask('52 2000 09');
    expect(bench.value(labIndex.pulse)).toBe('09');
  });

  it('gets no values until it is aware; then indications that waited', () => {
    const bench = new ServerBench(labTable());
    bench.ask(robust);
    bench.ask('12 1100 0100');
    bench.ask('12 1900 0200');
    changed(bench);
    bench.publish(labIndex.level);
    expect(bench.effects).toEqual([]);
    bench.publish(labIndex.alarm);
    expect(bench.effects).toEqual([]);
    bench.ask('0a 1000');
    expect(bench.sent()).toBe('010a100012');
    expect(bench.ask('0a 1000')).toBe('0b2a 1d18003412');
  });

  it('loses what it prepared before the change when it executes it', () => {
    const bench = new ServerBench(labTable());
    bench.ask(robust);
    bench.ask('16 1000 0000 01');
    changed(bench);
    expect(bench.ask('18 01')).toBe('0118100012');
    expect(bench.ask('18 01')).toBe('19');
    expect(bench.value(labIndex.level)).toBe('2a');
  });
});

describe('a client without robust caching', () => {
  it('goes on as if nothing had happened', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 1100 0100');
    changed(bench);
    expect(bench.ask('0a 1000')).toBe('0b2a');
    bench.publish(labIndex.level);
    expect(bench.sent()).toBe('1b10002a');
    bench.ask('52 2000 09');
    expect(bench.value(labIndex.pulse)).toBe('09');
  });

  it('still gets Service Changed if it subscribed to it', () => {
    const bench = new ServerBench(labTable());
    bench.ask('12 0900 0200');
    changed(bench);
    expect(bench.sent()).toBe('1d08000e002300');
  });
});

describe('a new client', () => {
  it('is aware: it has discovered nothing yet', () => {
    const bench = unaware();
    bench.connect(2, 'second');
    bench.ask(robust, 2);
    expect(bench.ask('0a 1000', 2)).toBe('0b2a');
  });
});

describe('a peer with a bond', () => {
  const bonded = (...setUp: readonly string[]): ServerBench => {
    const bench = new ServerBench(labTable());
    bench.secure(bondedLink);
    for (const request of setUp) bench.ask(request);
    return bench;
  };

  it('is told on return what changed while it was away', () => {
    const bench = bonded(robust, '12 0900 0200');
    bench.disconnect();
    changed(bench, 0x10, 0x12);
    changed(bench, 0x20, 0x21);
    bench.connect(2, 'first');
    expect(bench.sent(2)).toBe('1d080010002100');
    expect(bench.ask('0a 1000', 2)).toBe('010a100012');
    bench.ask('1e', 2);
    expect(bench.ask('0a 1000', 2)).toBe('0b2a');
    bench.disconnect(2);
    bench.connect(3, 'first');
    expect(bench.sent(3)).toBe('');
    expect(bench.ask('0a 1000', 3)).toBe('0b2a');
  });

  it('is told again when it left without confirming', () => {
    const bench = bonded('12 0900 0200');
    changed(bench, 0x10, 0x12);
    changed(bench, 0x20, 0x21);
    bench.disconnect();
    bench.connect(2, 'first');
    expect(bench.sent(2)).toBe('1d080010002100');
  });

  it('is unaware again when it left after it was told', () => {
    const bench = bonded(robust);
    changed(bench);
    expect(bench.ask('0a 1000')).toBe('010a100012');
    bench.disconnect();
    bench.connect(2, 'first');
    expect(bench.ask('0a 1000', 2)).toBe('010a100012');
  });

  it('finds another database after a firmware update: all is said to have changed, and only Service Changed stays subscribed', () => {
    const bench = bonded(robust, '12 0900 0200', '12 1100 0100');
    bench.disconnect();
    bench.table = labTable(517, new Uint8Array(16).fill(7));
    bench.connect(2, 'first');
    expect(bench.sent(2)).toBe('1d08000100ffff');
    expect(bench.connection(2).changeAware).toBe('unaware');
    bench.ask('1e', 2);
    expect([bench.ask('0a 0900', 2), bench.ask('0a 1100', 2)]).toEqual(['0b0200', '0b0000']);
  });

  it('that never subscribed to Service Changed finds out by the hash', () => {
    const bench = bonded(robust);
    bench.disconnect();
    bench.table = labTable(517, new Uint8Array(16).fill(7));
    bench.connect(2, 'first');
    expect(bench.sent(2)).toBe('');
    expect(bench.ask('0a 0300', 2)).toBe('010a030012');
    expect(bench.ask('08 0100 ffff 2a2b', 2)).toBe('09120d00' + '07'.repeat(16));
  });
});
