import { describe, expect, it } from 'vitest';
import { bondedLink, hex, ServerBench } from '../../test/support/att-bench.ts';
import { lab, labIndex, labTable, uuid } from '../../test/support/att-table.ts';
import { toHex, type Bytes } from '../base/bytes.ts';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { GattClient } from './gatt-client.ts';
import type { LinkSecurity, PduChannel, RemoteAttribute, RemoteCharacteristic, ValueEvent } from './link.ts';
import type { ServerEffect } from './server-model.ts';

const latency = 5_000;

/** A server at the other end of a channel that takes 5 ms each way. */
class TestLink {
  readonly clock = new VirtualClock();
  readonly server = new ServerBench(labTable());
  readonly channel: PduChannel;
  readonly client: GattClient;
  /** PDUs that the server is not given. */
  lose: (pdu: Bytes) => boolean = () => false;
  #open = true;
  #deliver: (pdu: Bytes) => void = () => undefined;
  #closed: () => void = () => undefined;

  constructor(options: { readonly bare?: boolean } = {}) {
    const link: PduChannel = {
      send: (pdu) => {
        this.#later(() => {
          if (!this.lose(pdu)) this.do(() => this.server.event({ kind: 'received', connection: 1, pdu }));
        });
      },
      onPdu: (listener) => {
        this.#deliver = listener;
      },
      onClose: (listener) => {
        this.#closed = listener;
      },
      isOpen: true,
    };
    const extras = {
      drop: (): void => {
        this.end();
      },
      setSecurity: (security: LinkSecurity): void => {
        this.do(() => this.server.event({ kind: 'security', connection: 1, security }));
      },
    };
    this.channel = Object.defineProperty(options.bare === true ? link : { ...link, ...extras }, 'isOpen', {
      configurable: true,
      get: () => this.#open,
    });
    this.client = new GattClient(this.channel, this.clock);
  }

  /** Lets the board do something now, and carries what it sends. */
  do(event: () => readonly ServerEffect[]): void {
    this.server.at = this.clock.now();
    for (const effect of event()) {
      if (effect.kind === 'send') {
        this.#later(() => {
          this.#deliver(effect.pdu);
        });
      }
      if (effect.kind === 'close') this.end();
    }
  }

  end(): void {
    if (!this.#open) return;
    this.#open = false;
    this.#closed();
  }

  #later(call: () => void): void {
    this.clock.schedule(us(this.clock.now() + latency), () => {
      if (this.#open) call();
    });
  }
}

const at = (handle: number): RemoteAttribute => ({ kind: 'characteristic', uuid: uuid('2A00'), handle });

async function found(link: TestLink, handle: number): Promise<RemoteCharacteristic> {
  const services = await link.client.discover();
  if (!services.ok) throw new Error('discovery failed');
  return services.value.flatMap(({ characteristics }) => characteristics).find((each) => each.handle === handle)!;
}

describe('GattClient', () => {
  it('reads, writes and keeps a transcript with times', async () => {
    const link = new TestLink();
    expect(await link.client.read(at(lab.level))).toEqual({ ok: true, value: Uint8Array.of(42) });
    expect(await link.client.write(at(lab.level), Uint8Array.of(7))).toEqual({ ok: true, value: undefined });
    expect(link.server.value(labIndex.level)).toBe('07');
    expect(link.client.transcript.map(({ at: time, from, pdu }) => `${time} ${from} ${toHex(pdu)}`)).toEqual([
      '0 central 0a1000',
      '10000 board 0b2a',
      '10000 central 12100007',
      '20000 board 13',
    ]);
  });

  it('does one operation after the other, in the order asked for', async () => {
    const link = new TestLink();
    const all = await Promise.all([
      link.client.write(at(lab.level), Uint8Array.of(1)),
      link.client.read(at(lab.level)),
      link.client.write(at(lab.level), Uint8Array.of(2)),
      link.client.read(at(lab.level)),
      link.client.read(at(0x99)),
    ]);
    expect(all.map((outcome) => (outcome.ok ? outcome.value : outcome.failure))).toEqual([
      undefined,
      Uint8Array.of(1),
      undefined,
      Uint8Array.of(2),
      { kind: 'att-error', code: 0x01, handle: 0x99 },
    ]);
  });

  it('reads and writes long values at the MTU in force', async () => {
    const link = new TestLink();
    const text = new Uint8Array(60).fill(0x61);
    expect(await link.client.write(at(lab.note), text)).toEqual({ ok: true, value: undefined });
    expect(await link.client.read(at(lab.note))).toEqual({ ok: true, value: text });
    const long = link.client.transcript.length;
    expect(await link.client.exchangeMtu(185)).toEqual({ ok: true, value: 185 });
    expect(link.client.mtu).toBe(185);
    await link.client.read(at(lab.note));
    expect(link.client.transcript.length - long).toBe(4);
  });

  it('reports that the MTU was exchanged already', async () => {
    const link = new TestLink();
    await link.client.exchangeMtu(100);
    expect(await link.client.exchangeMtu(200)).toEqual({
      ok: false,
      failure: { kind: 'att-error', code: 0x06, handle: 0 },
    });
    expect(link.client.mtu).toBe(100);
  });

  it('writes without response, but not more than fits', async () => {
    const link = new TestLink();
    expect(await link.client.writeWithoutResponse(at(lab.pulse), Uint8Array.of(5))).toMatchObject({ ok: true });
    await link.clock.sleep(us(latency));
    expect(link.server.value(labIndex.pulse)).toBe('05');
    expect(await link.client.writeWithoutResponse(at(lab.note), new Uint8Array(21))).toEqual({
      ok: false,
      failure: {
        kind: 'not-reachable',
        about: 'a value of 21 octets is longer than the 20 a Write Command carries at an MTU of 23',
      },
    });
  });

  it('subscribes and hears, with the characteristic once it is discovered', async () => {
    const link = new TestLink();
    const level = await found(link, lab.level);
    const heard: ValueEvent[] = [];
    const stop = link.client.onValue((event) => heard.push(event));
    await link.client.subscribe(level, 'notify');
    link.do(() => link.server.publish(labIndex.level));
    const sentAt = link.clock.now();
    await link.clock.sleep(us(latency));
    expect(heard).toEqual([
      {
        at: sentAt + latency,
        kind: 'notification',
        handle: lab.level,
        characteristic: level,
        value: Uint8Array.of(42),
      },
    ]);
    await link.client.subscribe(level, 'off');
    link.do(() => link.server.publish(labIndex.level));
    stop();
    await link.clock.sleep(us(latency));
    expect(heard.length).toBe(1);
  });

  it('cannot subscribe where there is no CCCD', async () => {
    const link = new TestLink();
    const outcome = await link.client.subscribe(await found(link, lab.block), 'notify');
    expect(outcome).toMatchObject({ ok: false, failure: { kind: 'not-reachable' } });
  });

  it('confirms indications, unless told otherwise', async () => {
    const link = new TestLink();
    await link.client.subscribe(await found(link, lab.alarm), 'indicate');
    link.do(() => link.server.publish(labIndex.alarm));
    await link.clock.sleep(us(2 * latency));
    expect(link.server.told()).toEqual([{ kind: 'confirmed', connection: 1, index: labIndex.alarm }]);
    link.client.confirmIndications(false);
    link.do(() => link.server.publish(labIndex.alarm));
    await link.clock.sleep(us(10 * latency));
    expect(link.server.connection().indicating).toBeDefined();
    expect(await link.client.exchange(hex('1e'))).toEqual({ ok: true, value: undefined });
    await link.clock.sleep(us(latency));
    expect(link.server.connection().indicating).toBeUndefined();
  });

  it('sets the security of the link where the link can', async () => {
    const link = new TestLink();
    expect(await link.client.read(at(lab.secret))).toMatchObject({ ok: false, failure: { code: 0x05 } });
    expect(await link.client.setSecurity(bondedLink)).toEqual({ ok: true, value: undefined });
    expect(await link.client.read(at(lab.secret))).toMatchObject({ ok: true });
    const bare = new TestLink({ bare: true });
    expect(await bare.client.setSecurity(bondedLink)).toMatchObject({ ok: false, failure: { kind: 'not-reachable' } });
  });

  it('has nothing to do with attributes whose handle is hidden', async () => {
    const link = new TestLink();
    const hidden: RemoteAttribute = { kind: 'characteristic', uuid: uuid('2A00'), handle: undefined };
    expect(await link.client.read(hidden)).toMatchObject({ ok: false, failure: { kind: 'not-reachable' } });
  });
});

describe('raw exchanges', () => {
  it('send anything and give back whatever answers', async () => {
    const link = new TestLink();
    expect(await link.client.exchange(hex('0a1000'))).toEqual({ ok: true, value: hex('0b2a') });
    expect(await link.client.exchange(hex('0a10'))).toEqual({ ok: true, value: hex('010a000004') });
    expect(await link.client.exchange(hex('14'))).toEqual({ ok: true, value: hex('0114000006') });
  });

  it('wait as long as asked and no longer', async () => {
    const link = new TestLink();
    const begun = link.clock.now();
    expect(await link.client.exchange(hex('52200001'), us(300_000))).toEqual({ ok: true, value: undefined });
    expect(link.clock.now() - begun).toBe(300_000);
    expect(await link.client.exchange(hex('52200001'))).toEqual({ ok: true, value: undefined });
    expect(link.clock.now() - begun).toBe(300_000);
    expect(await link.client.exchange(hex('0a1000'), us(300_000))).toEqual({ ok: true, value: hex('0b2a') });
    expect(link.clock.now() - begun).toBe(300_000 + 2 * latency);
  });

  it('drop an answer that comes too late, and go on', async () => {
    const link = new TestLink();
    expect(await link.client.exchange(hex('12100005'), us(latency))).toEqual({ ok: true, value: undefined });
    expect(await link.client.read(at(lab.level))).toEqual({ ok: true, value: Uint8Array.of(5) });
  });

  it('put the MTU in force', async () => {
    const link = new TestLink();
    await link.client.exchange(hex('026400'));
    expect(link.client.mtu).toBe(100);
  });
});

describe('the end of a connection', () => {
  it('comes after 30 s without an answer, for good', async () => {
    const link = new TestLink();
    link.lose = (pdu) => pdu[0] === 0x0a;
    expect(await link.client.read(at(lab.level))).toEqual({ ok: false, failure: { kind: 'timeout' } });
    expect(link.clock.now()).toBe(30_000_000);
    expect(link.client.isOpen).toBe(false);
    expect(await link.client.write(at(lab.level), Uint8Array.of(1))).toEqual({
      ok: false,
      failure: { kind: 'timeout' },
    });
    expect(link.clock.now()).toBe(30_000_000);
  });

  it('fails what waits, and all that comes later', async () => {
    const link = new TestLink();
    let closed = 0;
    link.client.onClose(() => (closed += 1));
    link.clock.schedule(us(latency / 2), () => {
      link.end();
    });
    const outcomes = await Promise.all([
      link.client.read(at(lab.level)),
      link.client.exchange(hex('0a1000')),
      link.client.exchange(hex('52200001'), us(1000)),
      link.client.discover(),
      link.client.writeWithoutResponse(at(lab.pulse), Uint8Array.of(1)),
      link.client.setSecurity(bondedLink),
    ]);
    expect(outcomes).toEqual(outcomes.map(() => ({ ok: false, failure: { kind: 'link-lost' } })));
    expect(closed).toBe(1);
    expect(link.clock.now()).toBe(latency / 2);
  });

  it('is said once when the client ends it', async () => {
    const link = new TestLink();
    let closed = 0;
    const stop = link.client.onClose(() => (closed += 1));
    await link.client.drop('terminate');
    await link.client.drop('lose');
    stop();
    expect([closed, link.client.isOpen]).toEqual([1, false]);
  });

  it('is the board\u2019s when an indication is not confirmed', async () => {
    const link = new TestLink();
    await link.client.subscribe(await found(link, lab.alarm), 'indicate');
    link.client.confirmIndications(false);
    link.do(() => link.server.publish(labIndex.alarm));
    await link.clock.sleep(us(30_000_000));
    link.do(() => link.server.event({ kind: 'time' }));
    expect(link.client.isOpen).toBe(false);
  });

  it('is noticed when the channel closes without a word', async () => {
    const link = new TestLink();
    link.client.onClose(() => undefined);
    Object.defineProperty(link.channel, 'isOpen', { get: () => false });
    expect(await link.client.read(at(lab.level))).toEqual({ ok: false, failure: { kind: 'link-lost' } });
  });
});
