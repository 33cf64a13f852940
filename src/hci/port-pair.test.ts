import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../base/clock.ts';
import { us } from '../base/quantity.ts';
import { portPair } from './port-pair.ts';

describe('a pair of ports', () => {
  it('carries octets in order, later than they are sent', () => {
    const clock = new VirtualClock();
    const { host, controller } = portPair(clock, us(100));
    const got: string[] = [];
    controller.onOctets((octets) => void got.push(`${clock.now()} ${octets.join()}`));
    const octets = Uint8Array.of(1, 2);
    host.send(octets);
    octets[0] = 9;
    host.send(Uint8Array.of(3));
    expect(got).toEqual([]);
    clock.advance(us(1000));
    expect(got).toEqual(['100 1,2', '100 3']);
  });

  it('keeps what comes before anybody listens', () => {
    const clock = new VirtualClock();
    const { host, controller } = portPair(clock);
    controller.send(Uint8Array.of(7));
    clock.advance(us(1));
    const got: number[] = [];
    host.onOctets((octets) => void got.push(...octets));
    expect(got).toEqual([7]);
  });

  it('ends for both, once, with what is still on its way', () => {
    const clock = new VirtualClock();
    const pair = portPair(clock, us(10));
    const { host, controller } = pair;
    const seen: string[] = [];
    host.onClose(() => void seen.push('host'));
    controller.onClose(() => void seen.push('controller'));
    controller.onOctets(() => void seen.push('octets'));
    host.send(Uint8Array.of(1));
    pair.close();
    pair.close();
    host.send(Uint8Array.of(2));
    clock.advance(us(100));
    expect(seen).toEqual(['host', 'controller']);
  });
});
