import { us, type Microseconds } from '../../base/quantity.ts';
import type { Phy, Radio } from '../../contract/model.ts';

/** A connection as a budget reckons with it. */
export type Connection = {
  readonly phy: Phy;
  /** Between connection events, 1.25 ms steps. */
  readonly interval: Microseconds;
  /** Events the peripheral may sleep through. */
  readonly latency: number;
  readonly timeout: Microseconds;
  /** ATT MTU, octets. */
  readonly mtu: number;
  /** Largest link-layer payload, octets. */
  readonly dataLength: number;
  /** Whether packets carry a MIC. */
  readonly encrypted: boolean;
  /** Chance that one packet is lost, whatever its length; 0 <= p < 1. */
  readonly packetErrorRate: number;
  /** Packet pairs that the central allows in one event; `undefined`: as many as there is time for. */
  readonly mostPairs: number | undefined;
};

/** @param interval which end of the contract's range */
export function connectionOf(
  radio: Radio,
  options: {
    readonly interval?: 'min' | 'max';
    readonly encrypted?: boolean;
    readonly packetErrorRate?: number;
    readonly mostPairs?: number;
  } = {},
): Connection {
  const { connection } = radio;
  return {
    phy: connection.phy,
    interval: us(connection.interval[options.interval ?? 'max']),
    latency: connection.latency,
    timeout: connection.timeout,
    mtu: connection.mtu,
    dataLength: connection.dataLength,
    encrypted: options.encrypted ?? false,
    packetErrorRate: options.packetErrorRate ?? 0,
    mostPairs: options.mostPairs,
  };
}
