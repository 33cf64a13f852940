import { describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../../base/bytes.ts';
import { boardTable } from '../../../test/support/board-table.ts';
import { att, engineBench, security, signalling } from '../../../test/support/engine-bench.ts';

const kinds = (commands: readonly { readonly kind: string }[]): readonly string[] => commands.map(({ kind }) => kind);
const table = boardTable();

/** Read Request of the value `speed`, and its answer: 0.5 Hz is 50. */
const speed = table.values.find(({ id }) => id === 'speed')!.handle;
const handleHex = toHex(Uint8Array.of(speed & 0xff, speed >> 8));
const read = `0a${handleHex}`;
const answer = '0b3200';

describe('the host in C, as it brings a controller up', () => {
  it('asks what it must know, and advertises the contract’s octets', () => {
    const { commands } = engineBench();
    const all = commands();
    expect(kinds(all)).toEqual([
      'reset',
      'read-local-version',
      'le-read-local-features',
      'le-read-buffer-size',
      'set-event-mask',
      'le-set-event-mask',
      'le-set-random-address',
      'le-set-advertising-parameters',
      'le-set-advertising-data',
      'le-set-scan-response-data',
      'le-set-advertising-enable',
    ]);
    const { min, max } = table.radio.advertise.interval;
    expect(all.at(-4)).toEqual({
      kind: 'le-set-advertising-parameters',
      intervalMin: min / 625,
      intervalMax: max / 625,
      type: 0,
      ownAddressType: 1,
      peerAddressType: 0,
      peerAddress: '00:00:00:00:00:00',
      channelMap: 7,
      filterPolicy: 0,
    });
    expect(all.flatMap((one) => ('data' in one ? [toHex(one.data)] : []))).toEqual([
      toHex(table.advertising.bytes),
      toHex(table.scanResponse.bytes),
    ]);
  });

  // Core Vol 4 Part E 7.3.1 and 7.8.1, bits written out.
  it('lets itself be told of what it reads, and of nothing else', () => {
    const masks = engineBench()
      .commands()
      .flatMap((one) => ('mask' in one ? [one.mask] : []))
      .map((mask) => Array.from({ length: 64 }, (_, bit) => bit).filter((bit) => (mask[bit >> 3]! >> (bit & 7)) & 1));
    expect(masks).toEqual([
      [4, 7, 15, 47, 61],
      [0, 2, 4, 5],
    ]);
  });

  it.each([
    ['11:22:33:44:55:06', 'd1:22:33:44:55:06'],
    // Core Vol 6 Part B 1.3.2.1: the random part is neither all zeros nor all ones.
    ['00:00:00:00:00:00', 'c0:00:00:00:00:01'],
    ['ff:ff:ff:ff:ff:ff', 'ff:ff:ff:ff:ff:fe'],
  ])('makes %s a random static address: %s', (address, used) => {
    const { commands } = engineBench({ address });
    expect(commands()).toContainEqual({ kind: 'le-set-random-address', address: used });
  });

  it('shares the buffers of the other kind where a controller has none for LE', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclLength = 0;
    });
    expect(kinds(bench.commands())).toContain('read-buffer-size');
    bench.connect();
    bench.bring(att, '02b900');
    bench.bring(att, `08010 0ffff0328`.replace(' ', ''));
    expect(bench.sent().every((line) => line.startsWith('40 0'))).toBe(true);
  });

  it('tries again after a second when a step fails, and when a controller says nothing', () => {
    const bench = engineBench({}, (controller) => {
      controller.answers.set('le-set-random-address', 0x12);
    });
    expect(kinds(bench.commands()).at(-1)).toBe('le-set-random-address');
    bench.pass(900_000);
    expect(bench.commands()).toEqual([]);
    bench.controller.answers.set('reset', false);
    bench.pass(200_000);
    expect(kinds(bench.commands())).toEqual(['reset']);
    bench.pass(2_800_000);
    expect(bench.commands()).toEqual([]);
    bench.controller.answers.clear();
    bench.pass(400_000);
    expect(kinds(bench.commands()).at(-1)).toBe('le-set-advertising-enable');
  });

  it('does without the steps that a controller need not know', () => {
    const bench = engineBench({}, (controller) => {
      for (const kind of [
        'read-local-version',
        'le-read-local-features',
        'set-event-mask',
        'le-set-event-mask',
      ] as const) {
        controller.answers.set(kind, 0x01);
      }
    });
    expect(kinds(bench.commands()).at(-1)).toBe('le-set-advertising-enable');
  });
});

describe('its connections', () => {
  it('answer ATT, and advertise on while there is room for one more', () => {
    const bench = engineBench();
    bench.commands();
    for (const handle of [0x40, 0x41, 0x42]) {
      bench.connect(handle);
      expect(bench.commands()).toEqual([{ kind: 'le-set-advertising-enable', enable: 1 }]);
    }
    bench.connect(0x43);
    expect(bench.commands()).toEqual([]);
    expect(bench.lines.at(-1)).toMatch(/^note \d+ advertising off$/);
    bench.bring(att, read, 0x42);
    expect(bench.sent()).toEqual([`42 0 03000400${answer}`]);
    bench.disconnect(0x41, 0x13);
    expect(bench.commands()).toEqual([{ kind: 'le-set-advertising-enable', enable: 1 }]);
  });

  it('for which there is no room are ended', () => {
    const bench = engineBench();
    for (const handle of [0x40, 0x41, 0x42, 0x43, 0x44]) bench.connect(handle);
    expect(bench.commands().at(-1)).toEqual({ kind: 'disconnect', handle: 0x44, reason: 0x13 });
  });

  it('may come with an enhanced event', () => {
    const bench = engineBench();
    bench.controller.tell('le-enhanced-connection-complete', {
      status: 0,
      handle: 0x40,
      role: 1,
      peerAddressType: 3,
      peerAddress: 'c4:00:00:00:00:01',
      localResolvableAddress: '00:00:00:00:00:00',
      peerResolvableAddress: '40:00:00:00:00:01',
      interval: 24,
      latency: 0,
      timeout: 400,
      clockAccuracy: 0,
    });
    bench.controller.run();
    bench.bring(att, read);
    expect(bench.sent()).toEqual([`40 0 03000400${answer}`]);
    expect(bench.lines.at(-1)!.toLowerCase()).toContain('c4:00:00:00:00:01');
  });

  it.each([
    [0x08, 'lost'],
    [0x3e, 'lost'],
    [0x3d, 'lost'],
    [0x22, 'lost'],
    [0x13, 'terminated'],
    [0x14, 'terminated'],
    [0x15, 'terminated'],
    [0x16, 'terminated'],
  ])('end with reason %i as %s', (reason, how) => {
    const bench = engineBench();
    bench.connect();
    bench.disconnect(0x40, reason);
    expect(bench.lines.filter((line) => line.includes('disconnected')).map((line) => line.split(' ').at(-1))).toEqual([
      how,
    ]);
  });

  it('end when the console says so, even if the controller knows of none', () => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    bench.controller.answers.set('disconnect', 0x02);
    bench.board.console.send('drop 1');
    bench.controller.run();
    expect(bench.commands()[0]).toEqual({ kind: 'disconnect', handle: 0x40, reason: 0x13 });
    expect(bench.lines.some((line) => /disconnected 1 terminated/.test(line))).toBe(true);
  });

  it('get the contract’s packet length, and its parameters after 5 s where the central gave others', () => {
    const bench = engineBench();
    bench.commands();
    bench.connect(0x40, { interval: 3200, timeout: 3200 });
    const wanted = table.radio.connection.dataLength;
    const lengths = bench.commands().filter(({ kind }) => kind === 'le-set-data-length');
    expect(lengths).toEqual(
      wanted > 27 ? [{ kind: 'le-set-data-length', handle: 0x40, txOctets: wanted, txTime: (wanted + 14) * 8 }] : [],
    );
    bench.pass(4_900_000);
    expect(bench.sent()).toEqual([]);
    bench.pass(200_000);
    const [asked] = bench.sent();
    const { interval, latency, timeout } = table.radio.connection;
    const units = [interval.min / 1250, interval.max / 1250, latency, timeout / 10_000];
    const wish = toHex(Uint8Array.from(units.flatMap((unit) => [unit & 0xff, unit >> 8])));
    expect(asked).toBe(`40 0 0c00050012010800${wish}`);
    bench.pass(60_000_000);
    expect(bench.sent()).toEqual([]);
  });

  it('are left alone when their parameters fit, or come to fit in time', () => {
    const bench = engineBench();
    bench.connect(0x40);
    bench.connect(0x41, { interval: 3200, timeout: 3200 });
    const { interval, latency, timeout } = table.radio.connection;
    bench.controller.tell('le-connection-update-complete', {
      status: 0,
      handle: 0x41,
      interval: interval.min / 1250,
      latency,
      timeout: timeout / 10_000,
    });
    bench.pass(60_000_000);
    expect(bench.sent()).toEqual([]);
  });

  it.each([
    ['2M', 2, 0, 2120],
    ['coded-s2', 4, 1, 17040],
    ['coded-s8', 4, 2, 17040],
  ] as const)(
    'are asked for the PHY that the contract names, %s, where the controller has it',
    (phy, bit, options, txTime) => {
      const connection = { ...table.radio.connection, phy, dataLength: 251 };
      const bench = engineBench({ table: { ...table, radio: { ...table.radio, connection } } }, (controller) => {
        // Data length extension, 2M, coded: Core Vol 6 Part B 4.6.
        controller.features = Uint8Array.of(0x20, 0x09, 0, 0, 0, 0, 0, 0);
      });
      bench.commands();
      bench.connect();
      expect(bench.commands()).toEqual([
        { kind: 'le-set-phy', handle: 0x40, allPhys: 0, txPhys: bit, rxPhys: bit, options },
        { kind: 'le-set-data-length', handle: 0x40, txOctets: 251, txTime },
        { kind: 'le-set-advertising-enable', enable: 1 },
      ]);
    },
  );

  it('are asked for nothing that the controller does not have', () => {
    const connection = { ...table.radio.connection, phy: '2M' as const, dataLength: 251 };
    const bench = engineBench({ table: { ...table, radio: { ...table.radio, connection } } }, (controller) => {
      controller.features = new Uint8Array(8);
    });
    bench.commands();
    bench.connect();
    expect(bench.commands()).toEqual([{ kind: 'le-set-advertising-enable', enable: 1 }]);
  });

  it('take other parameters from a central if they are allowed', () => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    const wish = { intervalMin: 6, intervalMax: 12, latency: 4, timeout: 100 };
    bench.controller.tell('le-remote-connection-parameter-request', { handle: 0x40, ...wish });
    bench.controller.run();
    // 30 ms * 5 * 2 = 300 ms is not below the timeout.
    bench.controller.tell('le-remote-connection-parameter-request', {
      handle: 0x40,
      ...wish,
      intervalMax: 24,
      timeout: 30,
    });
    bench.controller.run();
    expect(bench.commands()).toEqual([
      {
        kind: 'le-remote-connection-parameter-request-reply',
        handle: 0x40,
        ...wish,
        eventLengthMin: 0,
        eventLengthMax: 0xffff,
      },
      { kind: 'le-remote-connection-parameter-request-negative-reply', handle: 0x40, reason: 0x3b },
    ]);
  });

  it('are never encrypted: there is no key', () => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    bench.controller.tell('le-long-term-key-request', { handle: 0x40, random: new Uint8Array(8), diversifier: 0 });
    bench.controller.run();
    expect(bench.commands()).toEqual([{ kind: 'le-long-term-key-request-negative-reply', handle: 0x40 }]);
  });
});

describe('events that say nothing to it', () => {
  const parameters = '010000000000c4' + '1800' + '0000' + '9001' + '00';
  it.each([
    ['a disconnection that failed', '0405040c400013'],
    ['a disconnection cut short', '040503004000'],
    ['the end of a connection that there is not', '04050400990013'],
    ['a connection as a central', `043e1301004400` + `00${parameters}`],
    ['a connection with a handle that there cannot be', `043e130100000f01${parameters}`],
    ['a connection cut short', `043e120100440001${parameters.slice(2)}`],
    ['an update that failed', '043e0a033b4000800c0000800c'],
    ['a key wanted for a connection that there is not', `043e0d059900${'00'.repeat(10)}`],
    ['parameters wished, cut short', `043e0a064000${'00'.repeat(7)}`],
    ['completed packets in other number than there are', '0413050240000100'],
    ['an event without parameters', '043e00'],
    ['a vendor event of the greatest length', `04ffff${'3e'.repeat(255)}`],
    ['synchronous data', '034000020102'],
    ['isochronous data, its length in 14 bits', '05400002c00102'],
    ['data of a connection that there is not', '0299200700030004000a0300'],
  ])('%s', (_, packet) => {
    const bench = engineBench();
    bench.connect();
    bench.commands();
    const before = bench.lines.length;
    bench.controller.raw(fromHex(packet)!);
    bench.pass(10_000_000);
    expect(bench.commands()).toEqual([]);
    expect(bench.lines.slice(before)).toEqual([]);
    expect(bench.sent()).toEqual([]);
    bench.bring(att, read);
    expect(bench.sent()).toEqual([`40 0 03000400${answer}`]);
  });
});

describe('its channels', () => {
  it.each([
    ['Pairing Request', security, '01030000100707', '0200060005 05'],
    ['Security Request', security, '0b01', '0200060005 05'],
    ['Pairing Confirm without pairing', security, '03'.padEnd(34, '0'), undefined],
    // Core Vol 3 Part A 4.1: not understood; and with an identifier only.
    ['a connection request', signalling, '140208000100170017000100', '060005000102020000 00'],
    ['a parameter update request to a peripheral', signalling, '120108000600060000000a00', '060005000101020000 00'],
    ['a response', signalling, '130102000000', undefined],
    ['a request without an identifier', signalling, '140008000100170017000100', undefined],
    ['a request of another length', signalling, '140209000100170017000100', undefined],
    ['more than 23 octets', signalling, '1402' + '1400' + '00'.repeat(20), '08000500010204000100 1700'],
    ['a channel that there is not', 0x3f, '0102', undefined],
  ])('answer %s', (_, channel, payload, expected) => {
    const bench = engineBench();
    bench.connect();
    bench.bring(channel, payload);
    expect(bench.sent()).toEqual(expected === undefined ? [] : [`40 0 ${expected.replace(' ', '')}`]);
  });

  const whole = `03000400${read}`;
  it.each([
    ['in single octets', [...whole.matchAll(/../g)].map(([octet], i) => [i === 0 ? 2 : 1, octet] as const), 1],
    ['with both boundary flags of a first fragment', [[0, whole]] as const, 1],
    [
      'after one that was cut off',
      [
        [2, '0a000400aabb'],
        [2, whole],
      ] as const,
      1,
    ],
    ['but not without its beginning', [[1, whole]] as const, 0],
    ['but not with octets behind its end', [[2, `${whole}00`]] as const, 0],
    [
      'but not with a continuation behind its end',
      [
        [2, whole],
        [1, '00'],
        [1, whole],
      ] as const,
      1,
    ],
    [
      'but not again for an empty continuation',
      [
        [2, whole],
        [1, ''],
      ] as const,
      1,
    ],
    [
      'but not when it ends early',
      [
        [2, '03000400'],
        [2, '03000400'],
      ] as const,
      0,
    ],
    [
      'but not with a length that nothing here has',
      [
        [2, 'ffff0400'],
        [1, '00'.repeat(27)],
      ] as const,
      0,
    ],
    [
      'after an empty fragment',
      [
        [2, ''],
        [1, whole],
      ] as const,
      1,
    ],
  ] as const)('take a frame %s', (_, fragments, answers) => {
    const bench = engineBench();
    bench.connect();
    for (const [boundary, data] of fragments) bench.controller.bring(0x40, fromHex(data)!, boundary);
    bench.controller.run();
    expect(bench.sent()).toEqual(Array.from({ length: answers }, () => `40 0 03000400${answer}`));
    bench.complete(0x40, answers);
    bench.bring(att, read);
    expect(bench.sent()).toEqual([`40 0 03000400${answer}`]);
  });

  it('take no more than a PDU of the MTU, and tell so', () => {
    const bench = engineBench();
    bench.connect();
    // Write Request of more octets than the MTU: Core Vol 3 Part F 3.4.1.1, Invalid PDU.
    bench.bring(att, `12${handleHex}${'00'.repeat(600)}`);
    expect(bench.sent()).toEqual(['40 0 050004000112000004']);
  });
});

describe('its flow control', () => {
  const long = (bench: ReturnType<typeof engineBench>): void => {
    bench.bring(att, '020002'); // MTU 512
    bench.complete(0x40, 9);
    bench.sent();
  };

  it('cuts a frame to what the controller takes, and keeps its order', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 2;
    });
    bench.connect();
    long(bench);
    bench.bring(att, '100100ffff0028'); // all primary services
    const fragments: string[] = [];
    for (let i = 0; i < 10; i++) {
      const now = bench.sent();
      expect(now.length).toBeLessThanOrEqual(i === 0 ? 2 : 1);
      fragments.push(...now);
      bench.complete(0x40, 1);
    }
    const octets = fragments.map((line) => line.split(' '));
    expect(octets.map(([, boundary]) => boundary)).toEqual(octets.map((__, i) => (i === 0 ? '0' : '1')));
    const frame = octets.map(([, , data]) => data).join('');
    const length = Number.parseInt(frame.slice(2, 4) + frame.slice(0, 2), 16);
    expect(frame).toHaveLength(2 * (4 + length));
    expect(frame.slice(4, 10)).toBe('040011');
    expect(octets.slice(0, -1).every(([, , data]) => data!.length === 54)).toBe(true);
  });

  it('keeps room for a response while notifications wait, and then sends the latest value', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 2;
    });
    const count = bench.table.values.find(({ id }) => id === 'count')!;
    const at = (handle: number): string => toHex(Uint8Array.of(handle & 0xff, handle >> 8));
    bench.connect();
    bench.bring(att, `12${at(count.handle + 1)}0100`);
    expect(bench.sent()).toHaveLength(1);
    bench.complete(0x40, 1);
    for (let i = 1; i <= 5; i++) {
      bench.board.set(count.index, Uint8Array.of(i, 0, 0, 0));
      bench.pass(200_000);
    }
    expect(bench.sent()).toEqual([`40 0 070004001b${at(count.handle)}01000000`]);
    bench.bring(att, read);
    expect(bench.sent()).toEqual([`40 0 03000400${answer}`]);
    bench.complete(0x40, 1);
    expect(bench.sent()).toEqual([]);
    bench.complete(0x40, 1);
    expect(bench.sent()).toEqual([`40 0 070004001b${at(count.handle)}05000000`]);
  });

  /** A notification of two fragments, the first of which has left, with room for one more. */
  const halfSent = () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 2;
    });
    const note = bench.table.values.find(({ id }) => id === 'note')!;
    const at = (handle: number): string => toHex(Uint8Array.of(handle & 0xff, handle >> 8));
    bench.connect(0x40);
    bench.connect(0x41);
    bench.bring(att, '023c00');
    bench.complete(0x40, 1);
    bench.bring(att, `12${at(note.handle + 1)}0100`);
    bench.complete(0x40, 1);
    bench.sent();
    bench.board.set(note.index, new TextEncoder().encode('n'.repeat(40)));
    const notification = `2b0004001b${at(note.handle)}${'6e'.repeat(40)}`;
    const fragments = [`40 0 ${notification.slice(0, 54)}`, `40 1 ${notification.slice(54)}`];
    bench.pass(1000);
    expect(bench.sent()).toEqual([fragments[0]]);
    return { bench, rest: fragments[1] };
  };

  it('keeps room for a response within a notification too', () => {
    const { bench, rest } = halfSent();
    bench.bring(att, read, 0x41);
    expect(bench.sent()).toEqual([`41 0 03000400${answer}`]);
    bench.complete(0x40, 1);
    expect(bench.sent()).toEqual([]);
    bench.complete(0x41, 1);
    expect(bench.sent()).toEqual([rest]);
  });

  it('lets a notification go that stands before a response', () => {
    const { bench, rest } = halfSent();
    bench.bring(att, read, 0x40);
    expect(bench.sent()).toEqual([rest]);
    bench.complete(0x40, 1);
    expect(bench.sent()).toEqual([`40 0 03000400${answer}`]);
  });

  it('forgets a notification whose connection has ended, and what of it was under way', () => {
    const { bench } = halfSent();
    bench.disconnect(0x40, 0x08);
    bench.connect(0x42);
    bench.bring(att, read, 0x42);
    expect(bench.sent()).toEqual([`42 0 03000400${answer}`]);
    bench.complete(0x42, 1);
    expect(bench.sent()).toEqual([]);
  });

  it('lets connections take turns by fragment', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 1;
    });
    for (const handle of [0x40, 0x41]) {
      bench.connect(handle);
      bench.bring(att, '023c00', handle);
      bench.complete(handle, 1);
    }
    bench.sent();
    for (const handle of [0x40, 0x41]) bench.bring(att, '040100ffff', handle); // Find Information
    const order: string[] = [];
    for (let i = 0; i < 4; i++) {
      const [line = ''] = bench.sent();
      order.push(line.slice(0, 4));
      bench.complete(Number.parseInt(line.slice(0, 2), 16), 1);
    }
    expect(order).toEqual(['40 0', '41 0', '40 1', '41 1']);
  });

  it('gives nothing to a new connection that waited for one that has ended', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 1;
    });
    bench.connect(0x41);
    bench.connect(0x40);
    bench.bring(att, read, 0x41);
    bench.sent();
    bench.bring(att, read, 0x40);
    bench.bring(security, '0b01', 0x40);
    bench.disconnect(0x40, 0x13);
    bench.connect(0x42);
    bench.complete(0x41, 1);
    expect(bench.sent()).toEqual([]);
    bench.bring(att, read, 0x42);
    expect(bench.sent()).toEqual([`42 0 03000400${answer}`]);
  });

  it('has the room of a connection again once that has ended, and believes no count beyond it', () => {
    const bench = engineBench({}, (controller) => {
      controller.aclCount = 1;
    });
    bench.connect(0x40);
    bench.connect(0x41);
    bench.bring(att, read, 0x40);
    bench.bring(att, read, 0x41);
    expect(bench.sent()).toHaveLength(1);
    bench.complete(0x41, 100);
    expect(bench.sent()).toEqual([]);
    bench.disconnect(0x40, 0x08);
    expect(bench.sent()).toEqual([`41 0 03000400${answer}`]);
    bench.complete(0x41, 100);
    bench.bring(att, read, 0x41);
    bench.bring(att, read, 0x41);
    expect(bench.sent()).toHaveLength(1);
  });
});
