import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { labTable } from '../../../test/support/att-table.ts';

describe('Exchange MTU', () => {
  it.each([
    ['the smaller side is the client', 517, '02 6400', '030502', 100],
    ['the smaller side is the server', 185, '02 0502', '03b900', 185],
    ['never below 23', 517, '02 0a00', '030502', 23],
    ['nothing gained', 23, '02 ff00', '031700', 23],
  ])('%s', (_, serverMtu, request, response, mtu) => {
    const bench = new ServerBench(labTable(serverMtu));
    expect(bench.ask(request)).toBe(response);
    expect(bench.connection().mtu).toBe(mtu);
  });

  it('happens once: the second request is refused and changes nothing', () => {
    const bench = new ServerBench(labTable());
    bench.ask('02 6400');
    expect(bench.ask('02 0502')).toBe('0102000006');
    expect(bench.connection().mtu).toBe(100);
  });

  it('is for one connection, and gone with it', () => {
    const bench = new ServerBench(labTable());
    bench.connect(2, 'second');
    bench.ask('02 6400', 1);
    expect([bench.connection(1).mtu, bench.connection(2).mtu]).toEqual([100, 23]);
    bench.disconnect(1);
    bench.connect(3, 'first');
    expect(bench.connection(3).mtu).toBe(23);
  });
});
