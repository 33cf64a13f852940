import { bug, unreachable } from '../../base/bug.ts';
import { readU16le, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import { attError } from '../../numbers/att-errors.ts';
import { isCommand, opcode, opcodeEntry, opcodeLabel } from '../../numbers/att-opcodes.ts';
import type { Handle } from '../../table/model.ts';
import type { Failure } from '../link.ts';
import { decodePdu } from '../pdu/decode.ts';
import { encodePdu } from '../pdu/encode.ts';
import { isResponse } from '../pdu/kind.ts';
import { defaultMtu, type AttPdu, type AttResponse, type MalformedPdu } from '../pdu/model.ts';

/** Transaction time, Core Vol 3 Part F 3.3.3: 30 s. */
export const transactionTimeout: Microseconds = us(30_000_000);

/** The client's end of one connection: one request at a time, its answer, and what the server sends of itself. */
export type ClientState = {
  /** In force, octets. */
  readonly mtu: number;
  readonly outstanding: OutstandingRequest | undefined;
  /** Opcodes of requests given up before their time, whose answers may still come and are then dropped. */
  readonly late: readonly number[];
  /** Whether indications are confirmed by themselves. */
  readonly confirming: boolean;
  /** `dead`: a transaction timed out, nothing more may be sent. */
  readonly phase: 'open' | 'dead' | 'closed';
};

export type OutstandingRequest = {
  readonly pdu: Bytes;
  readonly since: Microseconds;
  /** Sent for its own sake: any answer will do, and octets that are no PDU may be sent. */
  readonly raw: boolean;
};

export type ClientEvent =
  /** Only while none is outstanding. */
  | { readonly kind: 'request'; readonly pdu: Bytes; readonly raw: boolean }
  /** Commands and whatever else waits for no answer. */
  | { readonly kind: 'tell'; readonly pdu: Bytes }
  | { readonly kind: 'received'; readonly pdu: Bytes }
  /** The answer is not waited for any longer, though it may still come. */
  | { readonly kind: 'give-up' }
  | { readonly kind: 'confirm-indications'; readonly on: boolean }
  /** Time passed: transaction time-out. */
  | { readonly kind: 'time' }
  | { readonly kind: 'closed' };

export type ClientEffect =
  | { readonly kind: 'send'; readonly pdu: Bytes }
  /** The outstanding request is done. `response` is `undefined` only where a raw request was answered by something else. */
  | { readonly kind: 'answered'; readonly pdu: Bytes; readonly response: AttResponse | undefined }
  | { readonly kind: 'failed'; readonly failure: Failure }
  | {
      readonly kind: 'value';
      readonly how: 'notification' | 'indication';
      readonly handle: Handle;
      readonly value: Bytes;
    };

export type ClientStep = { readonly state: ClientState; readonly effects: readonly ClientEffect[] };

export const startClient: ClientState = {
  mtu: defaultMtu,
  outstanding: undefined,
  late: [],
  confirming: true,
  phase: 'open',
};

/** Given-up requests that are remembered. */
const mostLate = 8;

/** Total for whatever a server sends. */
export function attClient(state: ClientState, event: ClientEvent, at: Microseconds): ClientStep {
  switch (event.kind) {
    case 'request':
      bug(state.outstanding === undefined, 'a request is outstanding');
      if (state.phase !== 'open') return { state, effects: [{ kind: 'failed', failure: endOf(state.phase) }] };
      return {
        state: { ...state, outstanding: { pdu: event.pdu, since: at, raw: event.raw } },
        effects: [{ kind: 'send', pdu: event.pdu }],
      };
    case 'tell':
      return { state, effects: state.phase === 'open' ? [{ kind: 'send', pdu: event.pdu }] : [] };
    case 'received':
      return state.phase === 'open' ? receive(state, event.pdu) : { state, effects: [] };
    case 'give-up':
      return { state: givenUp(state), effects: [] };
    case 'confirm-indications':
      return { state: { ...state, confirming: event.on }, effects: [] };
    case 'time': {
      const { outstanding } = state;
      if (outstanding === undefined || at < outstanding.since + transactionTimeout) return { state, effects: [] };
      return {
        state: { ...state, outstanding: undefined, phase: 'dead' },
        effects: [{ kind: 'failed', failure: { kind: 'timeout' } }],
      };
    }
    case 'closed':
      return {
        state: { ...state, outstanding: undefined, phase: 'closed' },
        effects: state.outstanding === undefined ? [] : [{ kind: 'failed', failure: { kind: 'link-lost' } }],
      };
    default:
      return unreachable(event);
  }
}

function endOf(phase: 'dead' | 'closed'): Failure {
  return phase === 'dead' ? { kind: 'timeout' } : { kind: 'link-lost' };
}

function receive(state: ClientState, pdu: Bytes): ClientStep {
  const decoded = decodePdu(pdu);
  switch (decoded.kind) {
    case 'handle-value-notification':
      return {
        state,
        effects: [{ kind: 'value', how: 'notification', handle: decoded.handle, value: decoded.value }],
      };
    case 'multiple-handle-value-notification':
      return {
        state,
        effects: decoded.items.map(({ handle, value }) => ({ kind: 'value', how: 'notification', handle, value })),
      };
    case 'handle-value-indication': {
      const value: ClientEffect = {
        kind: 'value',
        how: 'indication',
        handle: decoded.handle,
        value: decoded.value,
      };
      const confirmation = encodePdu({ kind: 'handle-value-confirmation' });
      return { state, effects: state.confirming ? [{ kind: 'send', pdu: confirmation }, value] : [value] };
    }
    default:
      return receiveOther(state, pdu, decoded);
  }
}

function receiveOther(state: ClientState, pdu: Bytes, decoded: AttPdu | MalformedPdu): ClientStep {
  const code = pdu[0];
  const kind = code === undefined ? undefined : opcodeEntry(code)?.kind;
  // This client is no server: it has nothing that could be asked for.
  if (code !== undefined && kind === 'request') {
    const refusal = encodePdu({
      kind: 'error-response',
      request: code,
      handle: 0,
      code: attError.requestNotSupported,
    });
    return { state, effects: [{ kind: 'send', pdu: refusal }] };
  }
  const { outstanding } = state;
  if (kind !== undefined && kind !== 'response') return { state, effects: [] };
  if (outstanding !== undefined && answers(decoded, pdu, outstanding.pdu[0])) {
    return answered(state, outstanding, pdu, decoded);
  }
  const lateAnswer = state.late.findIndex((request) => answers(decoded, pdu, request));
  if (lateAnswer >= 0) {
    return { state: { ...state, late: state.late.filter((_, i) => i !== lateAnswer) }, effects: [] };
  }
  if (outstanding === undefined || (code !== undefined && isCommand(code))) return { state, effects: [] };
  if (outstanding.raw) return answered(state, outstanding, pdu, decoded);
  return broken(state, `${nameOf(pdu)} came where the answer to ${nameOf(outstanding.pdu)} was due`);
}

/** Whether a PDU is the response to a request with this opcode, or the error that refuses it. */
function answers(decoded: AttPdu | MalformedPdu, pdu: Bytes, request: number | undefined): boolean {
  if (request === undefined) return false;
  if (decoded.kind === 'error-response') return decoded.request === request;
  // Every response has the opcode after its request's, Core Vol 3 Part F 3.4.8.
  return opcodeEntry(request)?.kind === 'request' && pdu[0] === request + 1;
}

function answered(
  state: ClientState,
  outstanding: OutstandingRequest,
  pdu: Bytes,
  decoded: AttPdu | MalformedPdu,
): ClientStep {
  if (!outstanding.raw) {
    if (decoded.kind === 'malformed') return broken(state, decoded.why);
    if (pdu.length > state.mtu) {
      return broken(state, `${nameOf(pdu)} has ${pdu.length} octets at an MTU of ${state.mtu}`);
    }
  }
  return {
    state: { ...state, outstanding: undefined, mtu: mtuAfter(state, outstanding, decoded) },
    effects: [{ kind: 'answered', pdu, response: isResponse(decoded) ? decoded : undefined }],
  };
}

/** The smaller of what both sides can receive, at least 23 octets. Core Vol 3 Part F 3.4.2.2. */
function mtuAfter(state: ClientState, { pdu }: OutstandingRequest, decoded: AttPdu | MalformedPdu): number {
  if (decoded.kind !== 'exchange-mtu-response' || pdu[0] !== opcode.exchangeMtuRequest) return state.mtu;
  return Math.max(defaultMtu, Math.min(readU16le(pdu, 1) ?? defaultMtu, decoded.mtu));
}

/** The request fails; its true answer may still come. */
function broken(state: ClientState, about: string): ClientStep {
  return { state: givenUp(state), effects: [{ kind: 'failed', failure: { kind: 'protocol', about } }] };
}

function givenUp(state: ClientState): ClientState {
  const request = state.outstanding?.pdu[0];
  const answerable = request !== undefined && !isCommand(request);
  const late = answerable ? [...state.late, request].slice(-mostLate) : state.late;
  return { ...state, outstanding: undefined, late };
}

function nameOf(pdu: Bytes): string {
  const code = pdu[0];
  return code === undefined ? 'a PDU of no octets' : opcodeLabel(code);
}
