import { describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../../base/bytes.ts';
import { uuid16 } from '../../base/uuid.ts';
import { us } from '../../base/quantity.ts';
import { ScriptedController } from '../../../test/support/scripted-controller.ts';
import { GattClient } from '../../att/gatt-client.ts';
import { encodeFrame } from '../l2cap.ts';
import { attChannel } from './att-channel.ts';
import { Central } from './central.ts';

const peer = { type: 1, address: 'c4:00:00:00:00:01' };
const deviceName = { kind: 'characteristic', uuid: uuid16(0x2a00), handle: 3 } as const;
const wish = { interval: { min: us(30_000), max: us(30_000) }, latency: 0, timeout: us(4_000_000) };

const completed = {
  status: 0,
  handle: 0x40,
  role: 0,
  peerAddressType: 1,
  peerAddress: peer.address,
  interval: 24,
  latency: 0,
  timeout: 400,
  clockAccuracy: 0,
};

/** A controller whose peer connects at once and knows data length extension and 2M. */
function connecting(): { controller: ScriptedController; central: Central } {
  const controller = new ScriptedController();
  const central = new Central(controller.port, controller.clock);
  controller.after = ({ kind }) => {
    if (kind === 'le-create-connection') controller.tell('le-connection-complete', completed);
    if (kind === 'le-read-remote-features') {
      const features = Uint8Array.of(0x20, 0x01, 0, 0, 0, 0, 0, 0);
      controller.tell('le-read-remote-features-complete', { status: 0, handle: 0x40, features });
    }
    if (kind === 'disconnect') {
      controller.tell('disconnection-complete', { status: 0, handle: 0x40, reason: 0x16 });
    }
  };
  return { controller, central };
}

async function connected() {
  const bench = connecting();
  const outcome = await bench.central.connect(peer, wish, us(1_000_000));
  if (!outcome.ok) throw new Error(outcome.about);
  bench.controller.run();
  return { ...bench, connection: outcome.value };
}

describe('bring-up', () => {
  it('asks what there is and sets what is needed', async () => {
    const controller = new ScriptedController();
    const central = new Central(controller.port, controller.clock, { address: 'c0:00:00:00:00:02' });
    expect((await central.bringUp()).ok).toBe(true);
    expect(controller.kinds()).toEqual([
      'reset',
      'read-local-version',
      'read-local-supported-commands',
      'read-bd-addr',
      'le-read-buffer-size',
      'le-read-local-features',
      'set-event-mask',
      'le-set-event-mask',
      'le-set-random-address',
      'le-write-default-data-length',
    ]);
    expect(central.host.ownAddress).toEqual({ type: 1, address: 'c0:00:00:00:00:02' });
    // Core Vol 4 Part E 7.3.1: LE meta events are bit 61; 7.8.1: connection complete is bit 0.
    const masks = controller.commands.flatMap((command) => ('mask' in command ? [toHex(command.mask)] : []));
    expect(masks).toEqual(['9088000200800020', '7f08080000000000']);
  });

  it('uses the buffers of the other kind when LE has none of its own', async () => {
    const controller = new ScriptedController();
    controller.aclLength = 0;
    const central = new Central(controller.port, controller.clock);
    await central.bringUp();
    expect(central.host.facts).toMatchObject({ aclLength: 1021, aclCount: 8 });
    expect(central.host.ownAddress).toEqual({ type: 0, address: '00:11:22:33:44:55' });
  });

  it.each([
    ['a refusal', 0x03, 'the controller answers LE Read Buffer Size with Hardware Failure (0x03)'],
    ['silence', false, 'the controller does not answer le-read-buffer-size'],
  ] as const)('says where it failed: %s', async (_, answer, about) => {
    const controller = new ScriptedController();
    controller.answers.set('le-read-buffer-size', answer);
    const central = new Central(controller.port, controller.clock);
    expect(await central.bringUp()).toMatchObject({ ok: false, about });
    controller.answers.clear();
    expect((await central.bringUp()).ok).toBe(true);
  });

  it('does not wait for a controller that has gone', async () => {
    const controller = new ScriptedController();
    const central = new Central(controller.port, controller.clock);
    controller.unplug();
    expect(await central.bringUp()).toMatchObject({ ok: false, about: 'the controller has gone' });
    expect(controller.clock.now()).toBeLessThan(1_000_000_000);
  });
});

describe('a scan', () => {
  it('joins advertising and scan response of one device, and ends when it is found', async () => {
    const controller = new ScriptedController();
    const central = new Central(controller.port, controller.clock);
    const report = (type: number, address: string, data: string) => {
      controller.tell('le-advertising-report', {
        reports: [{ type, addressType: 1, address, data: fromHex(data)!, rssi: -40 }],
      });
    };
    controller.after = ({ kind }) => {
      if (kind !== 'le-set-scan-enable' || controller.kinds().filter((one) => one === kind).length > 1) return;
      report(0, peer.address, '020106');
      report(3, 'c4:00:00:00:00:02', '0201ff');
      report(4, peer.address, '0309aabb');
    };
    const outcome = await central.scan(({ scanResponse }) => scanResponse !== undefined, us(9_000_000));
    const heard = outcome.ok ? outcome.value : [];
    expect(heard.map((one) => [one.device.address, one.connectable, toHex(one.advertising)])).toEqual([
      [peer.address, true, '020106'],
      ['c4:00:00:00:00:02', false, '0201ff'],
    ]);
    expect(toHex(heard[0]!.scanResponse!)).toBe('0309aabb');
    expect(controller.clock.now()).toBeLessThan(100_000);
    expect(controller.commands.at(-1)).toMatchObject({ kind: 'le-set-scan-enable', enable: 0 });
  });

  it('ends in time when nothing is found, and says when the controller will not', async () => {
    const controller = new ScriptedController();
    const central = new Central(controller.port, controller.clock);
    expect(await central.scan(() => true, us(2_000_000))).toEqual({ ok: true, value: [] });
    controller.answers.set('le-set-scan-enable', 0x0c);
    const refused = await central.scan(() => true, us(2_000_000));
    expect(refused).toMatchObject({ ok: false, about: 'the controller does not scan: Command Disallowed (0x0C)' });
  });
});

describe('a connection', () => {
  it('is asked for in the units of the air, and its packets made long', async () => {
    const { controller, connection } = await connected();
    expect(connection.parameters).toEqual({ interval: 30_000, latency: 0, timeout: 4_000_000 });
    expect(controller.commands.find(({ kind }) => kind === 'le-create-connection')).toMatchObject({
      intervalMin: 24,
      intervalMax: 24,
      timeout: 400,
      scanInterval: 96,
      ownAddressType: 0,
    });
    expect(controller.commands.find(({ kind }) => kind === 'le-set-data-length')).toMatchObject({
      txOctets: 251,
      // Core Vol 6 Part B 4.5.10: the longest packet on the 1M PHY.
      txTime: 2120,
    });
    controller.tell('le-data-length-change', { handle: 0x40, txOctets: 251, txTime: 2120, rxOctets: 100, rxTime: 912 });
    controller.run();
    expect(connection.dataLength).toEqual({ tx: 251, rx: 100 });
  });

  it('is cancelled when nobody advertises', async () => {
    const { controller, central } = connecting();
    controller.after = ({ kind }) => {
      if (kind === 'le-create-connection-cancel') {
        controller.tell('le-connection-complete', { ...completed, status: 0x02 });
      }
    };
    const outcome = await central.connect(peer, wish, us(1_000_000));
    expect(outcome).toEqual({ ok: false, timeout: true, about: 'the device does not advertise' });
  });

  it('is tried again when the other side never answers on it', async () => {
    const { controller, central } = connecting();
    const answers = controller.after;
    let tries = 0;
    controller.after = (command) => {
      if (command.kind === 'le-read-remote-features' && ++tries < 3) {
        controller.tell('disconnection-complete', { status: 0, handle: 0x40, reason: 0x3e });
      } else answers(command);
    };
    expect((await central.connect(peer, wish, us(1_000_000))).ok).toBe(true);
    expect(controller.kinds().filter((kind) => kind === 'le-create-connection')).toHaveLength(3);
  });

  it('carries ATT in frames on channel 4, in pieces that the controller takes', async () => {
    const { controller, central, connection } = await connected();
    const client = new GattClient(attChannel(central, connection, controller.clock), controller.clock);
    controller.clock.schedule(us(controller.clock.now() + 5000), () => {
      controller.bring(0x40, fromHex('03000400')!);
      controller.bring(0x40, fromHex('034000')!, 1);
    });
    expect(await client.exchangeMtu(185)).toEqual({ ok: true, value: 64 });
    expect(controller.data()).toEqual(['0300040002b900']);
    await client.writeWithoutResponse(deviceName, new Uint8Array(30));
    controller.run();
    expect(controller.acl.slice(1).map(({ boundary, data }) => [boundary, data.length])).toEqual([
      [0, 27],
      [1, 10],
    ]);
    await client.drop('terminate');
    expect(client.isOpen).toBe(false);
    expect(controller.commands.at(-1)).toMatchObject({ kind: 'disconnect', handle: 0x40, reason: 0x13 });
  });

  it('takes the parameters that its peer wishes, either way it asks', async () => {
    const { controller, connection } = await connected();
    controller.bring(0x40, encodeFrame({ channel: 5, payload: fromHex('1207080018002800000090 01')! }));
    controller.run();
    expect(controller.data()).toEqual(['06000500130702000000']);
    expect(controller.commands.at(-1)).toMatchObject({
      kind: 'le-connection-update',
      intervalMin: 24,
      intervalMax: 40,
    });
    controller.tell('le-connection-update-complete', {
      status: 0,
      handle: 0x40,
      interval: 40,
      latency: 0,
      timeout: 400,
    });
    const request = { handle: 0x40, intervalMin: 6, intervalMax: 6, latency: 0, timeout: 100 };
    controller.tell('le-remote-connection-parameter-request', request);
    controller.tell('le-remote-connection-parameter-request', { ...request, timeout: 9 });
    controller.run();
    expect(connection.parameters.interval).toBe(50_000);
    expect(controller.kinds().slice(-2)).toEqual([
      'le-remote-connection-parameter-request-reply',
      'le-remote-connection-parameter-request-negative-reply',
    ]);
  });

  it('refuses keys and pairing', async () => {
    const { controller } = await connected();
    controller.tell('le-long-term-key-request', { handle: 0x40, random: new Uint8Array(8), diversifier: 0 });
    controller.bring(0x40, encodeFrame({ channel: 6, payload: fromHex('0b01')! }));
    controller.run();
    expect(controller.kinds().at(-1)).toBe('le-long-term-key-request-negative-reply');
    expect(controller.data()).toEqual(['020006000505']);
  });

  it.each([
    [
      'the supervision timeout',
      (c: ScriptedController) => {
        c.tell('disconnection-complete', { status: 0, handle: 0x40, reason: 0x08 });
      },
    ],
    [
      'a hardware error',
      (c: ScriptedController) => {
        c.tell('hardware-error', { code: 1 });
      },
    ],
    [
      'octets that make no sense',
      (c: ScriptedController) => {
        c.raw(Uint8Array.of(0x77));
      },
    ],
    [
      'a controller that goes',
      (c: ScriptedController) => {
        c.unplug();
      },
    ],
  ])('ends as lost with %s', async (_, end) => {
    const { controller, central, connection } = await connected();
    const client = new GattClient(attChannel(central, connection, controller.clock), controller.clock);
    let ended = 0;
    client.onClose(() => ended++);
    end(controller);
    controller.run();
    expect([connection.reason, client.isOpen, ended]).toEqual([0x08, false, 1]);
    expect(await client.read(deviceName)).toMatchObject({
      failure: { kind: 'link-lost' },
    });
  });

  it('that nobody wants any more is ended', async () => {
    const { controller, central } = connecting();
    await central.bringUp();
    controller.tell('le-connection-complete', completed);
    controller.run();
    expect(controller.kinds().at(-1)).toBe('disconnect');
  });

  it('works again after the controller was reset', async () => {
    const { controller, central } = await connected();
    controller.tell('hardware-error', { code: 1 });
    controller.run();
    expect((await central.connect(peer, wish, us(1_000_000))).ok).toBe(true);
    expect(controller.kinds().filter((kind) => kind === 'reset')).toHaveLength(2);
  });
});
