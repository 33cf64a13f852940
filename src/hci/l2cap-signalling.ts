import { concat, readU16le, u16le, u8, type Bytes } from '../base/bytes.ts';

/** Codes of the signalling packets that an LE link without connection-oriented channels knows, Core Vol 3 Part A 4 table 4.2. */
export const signalCode = { commandReject: 0x01, parameterUpdateRequest: 0x12, parameterUpdateResponse: 0x13 } as const;

/** Octets that every LE device takes on the signalling channel, Core Vol 3 Part A 4: MTUsig. */
export const signallingMtu = 23;

/** Reasons of a Command Reject, Core Vol 3 Part A 4.1 table 4.4. */
export const rejectReason = { notUnderstood: 0x0000, mtuExceeded: 0x0001, unknownChannel: 0x0002 } as const;

/** Results of a parameter update request, Core Vol 3 Part A 4.21 table 4.19. */
export const updateResult = { accepted: 0x0000, rejected: 0x0001 } as const;

/** One packet of the signalling channel. On LE there is exactly one in a frame. */
export type Signal = {
  readonly code: number;
  /** Pairs a response with its request; 1..255, and 0 must not be used. */
  readonly identifier: number;
  readonly data: Bytes;
};

export function encodeSignal({ code, identifier, data }: Signal): Bytes {
  return concat(u8(code), u8(identifier), u16le(data.length), data);
}

/** @returns `undefined` when the octets are no signalling packet: too few, or not as many as its length says */
export function decodeSignal(payload: Bytes): Signal | undefined {
  const [code, identifier] = payload;
  const length = readU16le(payload, 2);
  if (code === undefined || identifier === undefined || length === undefined) return undefined;
  if (identifier === 0 || payload.length !== 4 + length) return undefined;
  return { code, identifier, data: payload.subarray(4) };
}

/**
 * Connection parameters that a peripheral wishes, in the units of the air: intervals of 1.25 ms, latency in connection
 * events, timeout of 10 ms (Core Vol 3 Part A 4.20).
 */
export type ParameterWish = {
  readonly intervalMin: number;
  readonly intervalMax: number;
  readonly latency: number;
  readonly timeout: number;
};

export function encodeParameterWish({ intervalMin, intervalMax, latency, timeout }: ParameterWish): Bytes {
  return concat(u16le(intervalMin), u16le(intervalMax), u16le(latency), u16le(timeout));
}

/** @returns `undefined` when there are not 8 octets */
export function decodeParameterWish(data: Bytes): ParameterWish | undefined {
  if (data.length !== 8) return undefined;
  return {
    intervalMin: readU16le(data, 0) ?? 0,
    intervalMax: readU16le(data, 2) ?? 0,
    latency: readU16le(data, 4) ?? 0,
    timeout: readU16le(data, 6) ?? 0,
  };
}

/**
 * Whether a link may have these parameters: interval 7.5 ms to 4 s, latency at most 499, timeout 100 ms to 32 s and more
 * than twice the longest silence of an obedient peripheral (Core Vol 4 Part E 7.8.12; Vol 6 Part B 4.5.1, 4.5.2).
 */
export function isAllowedWish({ intervalMin, intervalMax, latency, timeout }: ParameterWish): boolean {
  return (
    intervalMin >= 6 &&
    intervalMin <= intervalMax &&
    intervalMax <= 3200 &&
    latency <= 499 &&
    timeout >= 10 &&
    timeout <= 3200 &&
    timeout * 10_000 > 2 * (1 + latency) * intervalMax * 1250
  );
}
