import { describe, expect, it } from 'vitest';
import { fromHex, type Bytes } from '../../base/bytes.ts';
import { seededRandom } from '../../base/random.ts';
import { RadioBench, addressOf } from '../../../test/support/radio-bench.ts';
import { asked, freshBackoff, hearAdvertisement } from './scan-backoff.ts';

const bytes = (text: string): Bytes => fromHex(text)!;
const flags = bytes('020106');

describe('advertising', () => {
  it('goes through 37, 38, 39 and waits the interval and up to 10 ms', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.advertise({ interval: 0x20 });
    bench.advance(20_000);
    const events = new Map<number, number[]>();
    bench.packets.forEach((packet, i) => {
      events.set(Math.floor(i / 3), [...(events.get(Math.floor(i / 3)) ?? []), packet.channel]);
    });
    expect(new Set([...events.values()].slice(0, -1).map(String))).toEqual(new Set(['37,38,39']));
    const starts = bench.packets.filter(({ channel }) => channel === 37).map(({ at }) => at);
    const gaps = starts.slice(1).map((start, i) => start - starts[i]!);
    // Core Vol 6 Part B 4.4.2.2.1: advInterval 20 ms, advDelay 0..10 ms; the mean of many is near 5 ms.
    expect(Math.min(...gaps)).toBeGreaterThanOrEqual(20_000);
    expect(Math.max(...gaps)).toBeLessThanOrEqual(30_000);
    expect(gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length).toBeCloseTo(25_000, -3);
    // 4.4.2: at most 10 ms from one packet of an event to the next.
    expect(bench.packets[1]!.at - bench.packets[0]!.at).toBeLessThanOrEqual(10_000);
  });

  it('uses only the channels it is told', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.ok('le-set-advertising-parameters', {
      intervalMin: 0xa0,
      intervalMax: 0xa0,
      type: 3,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: addressOf(0),
      channelMap: 5,
      filterPolicy: 0,
    });
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.advance(250);
    expect(bench.packets.map(({ channel }) => channel).slice(0, 4)).toEqual([37, 39, 37, 39]);
  });

  it('stops when it is told', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.advertise();
    bench.advance(300);
    bench.board.ok('le-set-advertising-enable', { enable: 0 });
    const before = bench.packets.length;
    bench.advance(1000);
    expect(before).toBeGreaterThan(0);
    expect(bench.packets.length).toBe(before);
  });

  it.each([
    [0, 0, true],
    [2, 2, true],
    [3, 3, false],
  ])('of type %i is reported as %i, and asked for more: %s', (type, report, more) => {
    const bench = new RadioBench();
    bench.board.advertise({ type, data: flags, scanResponse: bytes('0409626f61') });
    bench.central.scan({ active: true, filter: true });
    bench.advance(2000);
    const reports = bench.central.all('le-advertising-report').flatMap(({ reports: each }) => each);
    expect(reports[0]).toEqual({ type: report, addressType: 0, address: addressOf(1), data: flags, rssi: -60 });
    expect(reports.slice(1).map((each) => [each.type, each.data])).toEqual(more ? [[4, bytes('0409626f61')]] : []);
  });

  it('directed at one scanner is no news for another', () => {
    const bench = new RadioBench({ boards: 2 });
    bench.hosts[0]!.scan();
    bench.hosts[2]!.scan();
    bench.board.ok('le-set-advertising-parameters', {
      intervalMin: 0x20,
      intervalMax: 0x20,
      type: 4,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: addressOf(0),
      channelMap: 7,
      filterPolicy: 0,
    });
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.advance(500);
    expect(bench.hosts[0]!.all('le-advertising-report')[0]?.reports[0]).toMatchObject({ type: 1, data: bytes('') });
    expect(bench.hosts[2]!.all('le-advertising-report')).toEqual([]);
  });

  it('at high duty cycle ends after 1.28 s with Advertising Timeout', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.ok('le-set-advertising-parameters', {
      intervalMin: 0,
      intervalMax: 0,
      type: 1,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: addressOf(0),
      channelMap: 7,
      filterPolicy: 0,
    });
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.advance(5000);
    const end = bench.board.last('le-connection-complete');
    expect(end).toMatchObject({ status: 0x3c, at: 1_280_000, role: 1 });
    expect(bench.packets.at(-1)!.at).toBeLessThan(1_280_000);
    expect(bench.packets.length).toBeGreaterThan(3 * 300);
  });

  it('meets the advertising of another board on the same channel, and both are lost', () => {
    const bench = new RadioBench({ boards: 20, watch: true });
    for (const host of bench.hosts.slice(1)) host.advertise({ interval: 0x20, data: new Uint8Array(31) });
    bench.central.scan();
    bench.advance(2000);
    const overlapping = bench.packets.filter((packet) =>
      bench.packets.some(
        (other) =>
          other !== packet &&
          other.channel === packet.channel &&
          other.at < packet.at + packet.duration &&
          packet.at < other.at + other.duration,
      ),
    );
    expect(overlapping.length).toBeGreaterThan(10);
    expect(new Set(bench.packets.filter(({ crcOk }) => !crcOk))).toEqual(new Set(overlapping));
  });
});

describe('scanning', () => {
  it('sends nothing when it is passive', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.advertise({ scanResponse: bytes('0409626f61') });
    bench.central.scan();
    bench.advance(2000);
    expect(new Set(bench.packets.map(({ from }) => from))).toEqual(new Set(['board 1']));
    expect(bench.central.all('le-advertising-report').length).toBeGreaterThan(5);
  });

  it('answers after the inter frame space when it is active', () => {
    const bench = new RadioBench({ watch: true });
    bench.board.advertise({ scanResponse: bytes('0409626f61') });
    bench.central.scan({ active: true });
    bench.advance(2000);
    const at = bench.packets.findIndex(({ pdu }) => (pdu[0]! & 0xf) === 3);
    const [advertisement, request, response] = bench.packets.slice(at - 1, at + 2);
    expect(request!.at - (advertisement!.at + advertisement!.duration)).toBe(150);
    expect(response!.at - (request!.at + request!.duration)).toBe(150);
    // SCAN_REQ with both addresses: 176 µs. Core Vol 6 Part B 2.3.2.1.
    expect(request).toMatchObject({ duration: 176, from: 'board 0' });
    expect(response).toMatchObject({ from: 'board 1', duration: 8 * (10 + 6 + 5) });
  });

  it('hears only in its window, on its channel', () => {
    const bench = new RadioBench();
    bench.board.advertise({ interval: 0x20 });
    bench.central.scan({ interval: 0x100, window: 0x20 });
    bench.advance(10_000);
    const heard = bench.central.all('le-advertising-report').map(({ at }) => at % 160_000);
    expect(heard.length).toBeGreaterThan(10);
    expect(Math.max(...heard)).toBeLessThanOrEqual(20_000);
  });

  it('tells each device once when it filters duplicates, and again when it begins anew', () => {
    const bench = new RadioBench();
    bench.board.advertise();
    bench.central.scan({ filter: true });
    bench.advance(3000);
    expect(bench.central.all('le-advertising-report').length).toBe(1);
    bench.central.ok('le-set-scan-enable', { enable: 0, filterDuplicates: 0 });
    bench.central.ok('le-set-scan-enable', { enable: 1, filterDuplicates: 1 });
    bench.advance(3000);
    expect(bench.central.all('le-advertising-report').length).toBe(2);
  });

  it('hears only the accept list when it is told so', () => {
    const bench = new RadioBench({ boards: 2 });
    bench.hosts[1]!.advertise();
    bench.hosts[2]!.advertise();
    bench.central.ok('le-add-to-accept-list', { addressType: 0, address: addressOf(2) });
    bench.central.ok('le-set-scan-parameters', {
      type: 0,
      interval: 16,
      window: 16,
      ownAddressType: 0,
      filterPolicy: 1,
    });
    bench.central.ok('le-set-scan-enable', { enable: 1, filterDuplicates: 0 });
    expect(bench.central.status('le-clear-accept-list', {})).toBe(0x0c);
    bench.advance(2000);
    const heard = bench.central.all('le-advertising-report').flatMap(({ reports }) => reports);
    expect(new Set(heard.map(({ address }) => address))).toEqual(new Set([addressOf(2)]));
  });

  it('is not answered by an advertiser that filters it out', () => {
    const bench = new RadioBench();
    bench.board.ok('le-set-advertising-parameters', {
      intervalMin: 0x20,
      intervalMax: 0x20,
      type: 0,
      ownAddressType: 0,
      peerAddressType: 0,
      peerAddress: addressOf(0),
      channelMap: 7,
      filterPolicy: 1,
    });
    bench.board.ok('le-set-scan-response-data', { data: bytes('0409626f61') });
    bench.board.ok('le-set-advertising-enable', { enable: 1 });
    bench.central.scan({ active: true });
    bench.advance(2000);
    const types = bench.central.all('le-advertising-report').flatMap(({ reports }) => reports.map(({ type }) => type));
    expect(new Set(types)).toEqual(new Set([0]));
  });

  it('hears nothing across a path that carries nothing, and less where some is lost', () => {
    const reports = (rate: number): number => {
      const bench = new RadioBench({ packetErrorRate: rate });
      bench.board.advertise({ interval: 0x20 });
      bench.central.scan();
      bench.advance(20_000);
      return bench.central.all('le-advertising-report').length;
    };
    const all = reports(0);
    // All of the many packets, less 30 %: within five standard deviations.
    const expected = all * 0.7;
    expect(Math.abs(reports(0.3) - expected)).toBeLessThan(5 * Math.sqrt(all * 0.3 * 0.7));
    const bench = new RadioBench();
    bench.controllers[1]!.powerOff();
    bench.board.advertise();
    bench.central.scan();
    bench.advance(2000);
    expect(bench.central.all('le-advertising-report')).toEqual([]);
    bench.controllers[1]!.powerOn();
    bench.advance(2000);
    expect(bench.central.all('le-advertising-report').length).toBeGreaterThan(0);
  });
});

describe('backoff of scan requests', () => {
  // Core Vol 6 Part B 4.4.3.2: the bound doubles after two failures in a row, to 256 at most, and halves after two answers.
  it('doubles and halves its bound', () => {
    const random = seededRandom(1);
    let backoff = freshBackoff;
    const bounds = [true, false, false, false, false, true, true, true, true].map((answered) => {
      backoff = asked(backoff, answered, random);
      return backoff.bound;
    });
    expect(bounds).toEqual([1, 1, 2, 2, 4, 4, 2, 2, 1]);
    for (let i = 0; i < 100; i++) {
      backoff = asked(backoff, false, random);
      expect(backoff.count).toBeGreaterThanOrEqual(1);
      expect(backoff.count).toBeLessThanOrEqual(backoff.bound);
    }
    expect(backoff.bound).toBe(256);
  });

  it('asks when the count has run down', () => {
    let backoff = { bound: 4, count: 3, row: 0 };
    const asks = [0, 1, 2].map(() => {
      const heard = hearAdvertisement(backoff);
      backoff = heard.backoff;
      return heard.ask;
    });
    expect(asks).toEqual([false, false, true]);
  });
});
