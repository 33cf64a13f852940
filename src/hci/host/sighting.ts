import { noBytes, type Bytes } from '../../base/bytes.ts';
import type { Microseconds } from '../../base/quantity.ts';
import type { DeviceAddress } from '../address.ts';

/** A device that was heard. */
export type Sighting = {
  readonly device: DeviceAddress;
  /** Whether it takes connections. */
  readonly connectable: boolean;
  readonly advertising: Bytes;
  /** `undefined`: none was heard. */
  readonly scanResponse: Bytes | undefined;
  /** dBm; `undefined`: unknown. */
  readonly rssi: number | undefined;
  /** When it was last heard. */
  readonly at: Microseconds;
};

/** One report of a controller. */
export type Report = {
  readonly type: number;
  readonly addressType: number;
  readonly address: string;
  readonly data: Bytes;
  readonly rssi: number;
};

const scanResponseType = 4;

export function deviceOf({ addressType: type, address }: Report): DeviceAddress {
  return { type, address };
}

/** What is known of a device once more is heard of it. */
export function merged(before: Sighting | undefined, report: Report, at: Microseconds): Sighting {
  const { type, data, rssi } = report;
  const isResponse = type === scanResponseType;
  return {
    device: deviceOf(report),
    connectable: isResponse ? (before?.connectable ?? false) : type <= 1,
    advertising: isResponse ? (before?.advertising ?? noBytes) : data,
    scanResponse: isResponse ? data : before?.scanResponse,
    // 127: the controller does not know.
    rssi: rssi === 127 ? before?.rssi : rssi,
    at,
  };
}
