import { createDecipheriv, createCipheriv } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { concat, fromHex, toHex, type Bytes } from '../../../base/bytes.ts';
import type { AirPacket } from '../../air-packet.ts';
import { RadioBench } from '../../../../test/support/radio-bench.ts';

const bytes = (text: string): Bytes => fromHex(text)!;
const filled = (length: number, octet: number): Uint8Array => new Uint8Array(length).fill(octet);
/** As HCI carries it, least significant octet first. */
const key = bytes('bf01fb9d4ef3bc36d874f5394138684c');
const none = new Uint8Array(8);

function start(bench: RadioBench, central: number, answer: Bytes | undefined, own = key): void {
  bench.central.ok('le-enable-encryption', { handle: central, random: none, diversifier: 0, key: own });
  bench.advance(100);
  const { handle } = bench.board.last('le-long-term-key-request');
  if (answer === undefined) bench.board.ok('le-long-term-key-request-negative-reply', { handle });
  else bench.board.ok('le-long-term-key-request-reply', { handle, key: answer });
  bench.advance(200);
}

/** Reads the packets of a recorded encrypted connection with an independent implementation of AES and CCM. */
function decryptAll(packets: readonly AirPacket[], longTermKey: Bytes): readonly string[] {
  const find = (opcode: number): Bytes =>
    packets.find(({ pdu }) => (pdu[0]! & 3) === 3 && pdu[2] === opcode)!.pdu.slice(3);
  const request = find(0x03);
  const response = find(0x04);
  const diversifier = concat(response.slice(0, 8).reverse(), request.slice(10, 18).reverse());
  const vector = concat(request.slice(18, 22), response.slice(8, 12));
  const block = createCipheriv('aes-128-ecb', longTermKey.slice().reverse(), null).setAutoPadding(false);
  const session = block.update(diversifier);
  const counters = { 'central-to-peripheral': 0, 'peripheral-to-central': 0 };
  const last: Record<string, string> = {};
  const plain: string[] = [];
  for (const { pdu, link } of packets) {
    if (link?.encrypted !== true) continue;
    // One sent again is the same octets but for NESN and MD.
    const same = toHex(concat([pdu[0]! & 0xeb], pdu.slice(1)));
    if (last[link.direction] === same) continue;
    last[link.direction] = same;
    const counter = counters[link.direction]++;
    const nonce = concat([counter, 0, 0, 0, link.direction === 'central-to-peripheral' ? 0x80 : 0], vector);
    const decipher = createDecipheriv('aes-128-ccm', session, nonce, { authTagLength: 4 });
    const body = pdu.slice(2, -4);
    decipher.setAuthTag(pdu.slice(-4));
    decipher.setAAD(Uint8Array.of(pdu[0]! & 0xe3), { plaintextLength: body.length });
    const text = decipher.update(body);
    decipher.final();
    plain.push(`${link.direction.slice(0, 1)} ${toHex(text)}`);
  }
  return plain;
}

describe('encryption', () => {
  it('starts with the key that both hosts have, and then is real', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    start(bench, central, key);
    expect(bench.central.last('encryption-change')).toMatchObject({ status: 0, handle: central, enabled: 1 });
    expect(bench.board.last('encryption-change')).toMatchObject({ status: 0, handle: board, enabled: 1 });
    bench.central.send(central, filled(30, 1));
    bench.board.send(board, filled(5, 2));
    bench.advance(100);
    expect(toHex(bench.board.received(board))).toBe('01'.repeat(30));
    expect(toHex(bench.central.received(central))).toBe('02'.repeat(5));
    expect(decryptAll(bench.packets, key)).toEqual([
      'c 06',
      'p 06',
      `c ${'01'.repeat(27)}`,
      `p ${'02'.repeat(5)}`,
      `c ${'01'.repeat(3)}`,
    ]);
  });

  it('goes on over loss', () => {
    const bench = new RadioBench({ watch: true, seed: 3 });
    const { central, board } = bench.connect(1, { timeout: 3200 });
    bench.room.setPacketErrorRate(0.3);
    bench.central.ok('le-enable-encryption', { handle: central, random: none, diversifier: 0, key });
    bench.advance(2000);
    bench.board.ok('le-long-term-key-request-reply', { handle: board, key });
    bench.advance(2000);
    for (let i = 0; i < 20; i++) {
      bench.central.send(central, filled(40, i));
      bench.board.send(board, filled(40, i));
      bench.advance(500);
    }
    bench.advance(3000);
    expect(bench.board.received(board).length).toBe(800);
    expect(bench.central.received(central)).toEqual(bench.board.received(board));
    expect(decryptAll(bench.packets, key).length).toBe(2 + 2 * 40);
  });

  it('holds data back until it is on', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    bench.central.ok('le-enable-encryption', { handle: central, random: none, diversifier: 0, key });
    bench.central.send(central, filled(20, 1));
    bench.advance(500);
    bench.board.send(board, filled(20, 2));
    bench.advance(500);
    expect(bench.board.acl).toEqual([]);
    expect(bench.central.acl).toEqual([]);
    bench.board.ok('le-long-term-key-request-reply', { handle: board, key });
    bench.advance(500);
    expect(bench.board.received(board).length).toBe(20);
    expect(bench.central.received(central).length).toBe(20);
    expect(bench.packets.some(({ pdu, link }) => pdu[1] === 20 && link?.encrypted === false)).toBe(false);
  });

  it('does not start without a key, and data goes on in the clear', () => {
    const bench = new RadioBench();
    const { central, board } = bench.connect();
    start(bench, central, undefined);
    expect(bench.central.last('encryption-change')).toMatchObject({ status: 0x06, handle: central, enabled: 0 });
    bench.central.send(central, filled(20, 1));
    bench.board.send(board, filled(20, 1));
    bench.advance(100);
    expect(bench.board.received(board).length).toBe(20);
    expect(bench.central.received(central).length).toBe(20);
  });

  it('asks no host that does not want to be asked', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    bench.board.ok('le-set-event-mask', { mask: bytes('0f00000000000000') });
    bench.central.ok('le-enable-encryption', { handle: central, random: none, diversifier: 0, key });
    bench.advance(200);
    expect(bench.central.last('encryption-change').status).toBe(0x06);
  });

  // Core Vol 6 Part B 5.1.3.1: a packet with a wrong MIC ends the connection at once, and the other end hears no more.
  it('ends the connection when the keys differ', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    start(bench, central, bytes('00'.repeat(16)));
    bench.advance(2000);
    expect(bench.board.last('disconnection-complete').reason).toBe(0x3d);
    expect(bench.central.last('disconnection-complete').reason).toBe(0x08);
    expect(bench.central.all('encryption-change')).toEqual([]);
  });

  it('is begun anew with another key', () => {
    const bench = new RadioBench({ watch: true });
    const { central, board } = bench.connect();
    start(bench, central, key);
    const other = bytes('0102030405060708090a0b0c0d0e0f10');
    start(bench, central, other, other);
    expect(bench.central.last('encryption-key-refresh-complete')).toMatchObject({ status: 0, handle: central });
    expect(bench.board.last('encryption-key-refresh-complete')).toMatchObject({ status: 0, handle: board });
    bench.central.send(central, filled(20, 1));
    bench.advance(100);
    expect(bench.board.received(board).length).toBe(20);
    const requests = bench.packets.flatMap(({ pdu, link }, i) =>
      (pdu[0]! & 3) === 3 && link?.encrypted === false && pdu[2] === 3 ? [i] : [],
    );
    expect(requests.length).toBe(2);
    expect(decryptAll(bench.packets.slice(requests[1]), other)).toEqual(['c 06', 'p 06', `c ${'01'.repeat(20)}`]);
  });

  // Core Vol 6 Part B 5.2: a procedure may take 40 s.
  it('that a host never answers ends the connection after 40 s', () => {
    const bench = new RadioBench();
    const { central } = bench.connect();
    const begun = bench.clock.now();
    bench.central.ok('le-enable-encryption', { handle: central, random: none, diversifier: 0, key });
    bench.advance(60_000);
    expect(bench.central.last('disconnection-complete')).toMatchObject({ reason: 0x22, at: begun + 40_000_000 });
  });

  it('is the central’s to start', () => {
    const bench = new RadioBench();
    const { board } = bench.connect();
    expect(bench.board.status('le-enable-encryption', { handle: board, random: none, diversifier: 0, key })).toBe(0x0c);
  });
});
