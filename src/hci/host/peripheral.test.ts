import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import { boardTable } from '../../../test/support/board-table.ts';
import { ScriptedController } from '../../../test/support/scripted-controller.ts';
import { encodeFrame } from '../l2cap.ts';
import { Peripheral, type ServedBoard } from './peripheral.ts';

const table = boardTable();

const completed = {
  status: 0,
  handle: 0x40,
  role: 1,
  peerAddressType: 1,
  peerAddress: 'c4:00:00:00:00:01',
  interval: table.radio.connection.interval.max / 1250,
  latency: table.radio.connection.latency,
  timeout: table.radio.connection.timeout / 10_000,
  clockAccuracy: 0,
};

/** A board that keeps an account of what it is told. */
function board(room = 2) {
  const account: string[] = [];
  const ports: { receive(pdu: Bytes): void; closed(): void }[] = [];
  const listeners: ((on: boolean) => void)[] = [];
  const served: ServedBoard & { advertising: boolean } = {
    advertising: true,
    onAdvertising: (listener) => {
      listeners.push(listener);
      return () => undefined;
    },
    connect: (peer, port) => {
      if (ports.length === room) return undefined;
      ports.push(port);
      account.push(`connected ${peer}`);
      return {
        send: (pdu) => account.push(`received ${toHex(pdu)}`),
        end: (how) => account.push(`ended ${how}`),
      };
    },
  };
  const advertise = (on: boolean): void => {
    served.advertising = on;
    for (const listener of listeners) listener(on);
  };
  return { served, account, ports, advertise };
}

function running(room?: number) {
  const controller = new ScriptedController();
  const bench = board(room);
  const host = new Peripheral(controller.port, controller.clock, bench.served, table, { address: 'c0:00:00:00:00:02' });
  host.start();
  controller.run();
  const enables = () =>
    controller.commands.flatMap((one) => (one.kind === 'le-set-advertising-enable' ? [one.enable] : []));
  return { controller, host, enables, ...bench };
}

describe('a board behind a controller', () => {
  it('advertises the contract’s octets at the contract’s interval', () => {
    const { controller, enables } = running();
    const { min, max } = table.radio.advertise.interval;
    expect(controller.commands.find(({ kind }) => kind === 'le-set-advertising-parameters')).toMatchObject({
      intervalMin: min / 625,
      intervalMax: max / 625,
      type: 0,
      ownAddressType: 1,
      channelMap: 7,
    });
    const data = controller.commands.flatMap((one) => ('data' in one ? [toHex(one.data)] : []));
    expect(data).toEqual([toHex(table.advertising.bytes), toHex(table.scanResponse.bytes)]);
    expect(enables()).toEqual([1]);
  });

  it('advertises while the board wants it, and again after a connection', () => {
    const { controller, enables, advertise } = running();
    controller.tell('le-connection-complete', completed);
    controller.run();
    expect(enables()).toEqual([1, 1]);
    advertise(false);
    controller.run();
    advertise(true);
    controller.run();
    expect(enables()).toEqual([1, 1, 0, 1]);
  });

  it('asks again once a connection ends when the controller had no room', () => {
    const { controller, enables } = running();
    controller.answers.set('le-set-advertising-enable', 0x0c);
    controller.tell('le-connection-complete', completed);
    controller.run();
    controller.answers.clear();
    controller.tell('disconnection-complete', { status: 0, handle: 0x40, reason: 0x13 });
    controller.run();
    expect(enables()).toEqual([1, 1, 1]);
  });

  it.each([
    [0x08, 'lost'],
    [0x3e, 'lost'],
    [0x3d, 'lost'],
    [0x13, 'terminated'],
    [0x15, 'terminated'],
    [0x16, 'terminated'],
  ])('tells the board how a connection ended: reason %i is %s', (reason, how) => {
    const { controller, account } = running();
    controller.tell('le-connection-complete', completed);
    controller.bring(0x40, encodeFrame({ channel: 4, payload: fromHex('0a0300')! }));
    controller.bring(0x40, encodeFrame({ channel: 0x3f, payload: fromHex('aa')! }));
    controller.tell('disconnection-complete', { status: 0, handle: 0x40, reason });
    controller.run();
    expect(account).toEqual(['connected c4:00:00:00:00:01', 'received 0a0300', `ended ${how}`]);
  });

  it('ends the connection of a client that the board does not take, or ends', () => {
    const { controller, account, ports } = running(1);
    controller.tell('le-connection-complete', completed);
    controller.tell('le-connection-complete', { ...completed, handle: 0x41 });
    controller.run();
    const ended = () => controller.commands.flatMap((one) => (one.kind === 'disconnect' ? [one.handle] : []));
    expect(ended()).toEqual([0x41]);
    ports[0]!.closed();
    controller.run();
    expect(ended()).toEqual([0x41, 0x40]);
    expect(account).toEqual(['connected c4:00:00:00:00:01']);
  });

  it('sends only the newest of one value’s notifications that wait, and every answer', () => {
    const { controller, ports } = running();
    controller.aclCount = 1;
    controller.tell('hardware-error', { code: 1 });
    controller.run();
    controller.clock.advance(us(1_100_000));
    controller.tell('le-connection-complete', completed);
    controller.run();
    for (const pdu of ['1b0300aa', '1b0300ab', '0b11', '1b0500ba', '1b0300ac', '1d0300ad', '1d0300ae']) {
      ports.at(-1)!.receive(fromHex(pdu)!);
    }
    for (let i = 0; i < 9; i++) {
      controller.run();
      controller.tell('number-of-completed-packets', { completed: [{ handle: 0x40, count: 1 }] });
    }
    expect(controller.data().map((frame) => frame.slice(8))).toEqual([
      '1b0300aa',
      '1b0300ac',
      '0b11',
      '1b0500ba',
      '1d0300ad',
      '1d0300ae',
    ]);
  });

  it('wishes the contract’s connection parameters 5 s after a central gave others', () => {
    const { controller } = running();
    controller.tell('le-connection-complete', { ...completed, interval: 3200, timeout: 3200 });
    controller.clock.advance(us(4_900_000));
    expect(controller.data()).toEqual([]);
    controller.clock.advance(us(200_000));
    expect(controller.data().map((frame) => frame.slice(0, 16))).toEqual(['0c00050012010800']);
  });

  it('leaves parameters that fit as they are', () => {
    const { controller } = running();
    controller.tell('le-connection-complete', completed);
    controller.clock.advance(us(60_000_000));
    expect(controller.data()).toEqual([]);
  });

  it('loses its clients with its controller, and comes back', () => {
    const { controller, account, enables } = running();
    controller.tell('le-connection-complete', completed);
    controller.tell('hardware-error', { code: 7 });
    controller.run();
    expect(account.at(-1)).toBe('ended lost');
    controller.clock.advance(us(2_000_000));
    expect(controller.kinds().filter((kind) => kind === 'reset')).toHaveLength(2);
    expect(enables().at(-1)).toBe(1);
  });

  it('is quiet once it is stopped', () => {
    const { controller, host, account } = running();
    controller.tell('le-connection-complete', completed);
    controller.run();
    host.stop();
    const before = controller.commands.length;
    controller.clock.advance(us(60_000_000));
    expect(account.at(-1)).toBe('ended lost');
    expect(controller.commands).toHaveLength(before);
  });
});
