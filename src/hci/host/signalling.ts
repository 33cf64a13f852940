import { concat, u16le, u8, type Bytes } from '../../base/bytes.ts';
import {
  decodeParameterWish,
  decodeSignal,
  encodeSignal,
  rejectReason,
  signalCode,
  signallingMtu,
  updateResult,
  type ParameterWish,
} from '../l2cap-signalling.ts';
import type { Role } from './connection.ts';

/** What a host makes of one frame on the signalling channel. */
export type SignalAnswer = {
  /** To be sent back on the same channel; `undefined`: nothing. */
  readonly reply: Bytes | undefined;
  /** A central accepted these: it must now update the connection. */
  readonly update: ParameterWish | undefined;
};

const nothing: SignalAnswer = { reply: undefined, update: undefined };

/**
 * Answers the peer's signalling, Core Vol 3 Part A 4: a central decides on wished connection parameters (4.20); all else
 * that asks for something is rejected as not understood (4.1). Responses and rejections are never answered.
 */
export function answerSignal(payload: Bytes, role: Role, accepts: (wish: ParameterWish) => boolean): SignalAnswer {
  const identifier = payload[1] ?? 0;
  if (payload.length > signallingMtu) {
    return reject(identifier, concat(u16le(rejectReason.mtuExceeded), u16le(signallingMtu)));
  }
  const signal = decodeSignal(payload);
  if (signal === undefined || isResponse(signal.code)) return nothing;
  if (signal.code === signalCode.parameterUpdateRequest && role === 'central') {
    const wish = decodeParameterWish(signal.data);
    if (wish === undefined) return reject(identifier, u16le(rejectReason.notUnderstood));
    const accepted = accepts(wish);
    const data = u16le(accepted ? updateResult.accepted : updateResult.rejected);
    return {
      reply: encodeSignal({ code: signalCode.parameterUpdateResponse, identifier, data }),
      update: accepted ? wish : undefined,
    };
  }
  return reject(identifier, u16le(rejectReason.notUnderstood));
}

function reject(identifier: number, data: Bytes): SignalAnswer {
  // A packet without an identifier cannot be rejected: nobody would know which it was.
  if (identifier === 0) return nothing;
  return { reply: encodeSignal({ code: signalCode.commandReject, identifier, data }), update: undefined };
}

/** Codes of responses: odd ones, but for those that Core Vol 3 Part A table 4.2 numbers otherwise. */
function isResponse(code: number): boolean {
  const responses = [0x01, 0x03, 0x05, 0x07, 0x09, 0x0b, 0x13, 0x15, 0x18, 0x1a];
  // A flow control credit asks for nothing.
  return responses.includes(code) || code === 0x16;
}

/** Security Manager codes and a reason, Core Vol 3 Part H 3.3, 3.5.5. */
const pairingRequest = 0x01;
const pairingFailed = 0x05;
const securityRequest = 0x0b;
const pairingNotSupported = 0x05;

/**
 * What a host without a Security Manager answers: pairing fails at its first packet (Core Vol 3 Part H 2.3, 2.4.6), and
 * what belongs to no pairing is ignored.
 */
export function refusePairing(payload: Bytes, role: Role): Bytes | undefined {
  const asks = role === 'peripheral' ? pairingRequest : securityRequest;
  return payload[0] === asks ? concat(u8(pairingFailed), u8(pairingNotSupported)) : undefined;
}
