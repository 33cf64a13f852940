import type { Bytes } from '../../base/bytes.ts';
import type { Uuid } from '../../base/uuid.ts';
import type { Handle } from '../../table/model.ts';

/**
 * Every PDU of the attribute protocol on LE, Core Vol 3 Part F 3.4. Handles are 0x0000..0xFFFF as they stand in the PDU:
 * whether they mean anything is for the server to say. Multi-octet numbers cross the air least significant octet first.
 */
export type AttPdu = AttRequest | AttResponse | AttCommand | ServerInitiated | Confirmation;

/** What a client asks and a server must answer, one at a time. */
export type AttRequest =
  /** `mtu`: the largest PDU the client can receive, octets. */
  | { readonly kind: 'exchange-mtu-request'; readonly mtu: number }
  | { readonly kind: 'find-information-request'; readonly start: Handle; readonly end: Handle }
  /** `type` is always a 16-bit UUID. */
  | {
      readonly kind: 'find-by-type-value-request';
      readonly start: Handle;
      readonly end: Handle;
      readonly type: Uuid;
      readonly value: Bytes;
    }
  | { readonly kind: 'read-by-type-request'; readonly start: Handle; readonly end: Handle; readonly type: Uuid }
  | { readonly kind: 'read-request'; readonly handle: Handle }
  | { readonly kind: 'read-blob-request'; readonly handle: Handle; readonly offset: number }
  /** Two handles or more. */
  | { readonly kind: 'read-multiple-request'; readonly handles: readonly Handle[] }
  | { readonly kind: 'read-by-group-type-request'; readonly start: Handle; readonly end: Handle; readonly type: Uuid }
  | { readonly kind: 'write-request'; readonly handle: Handle; readonly value: Bytes }
  | {
      readonly kind: 'prepare-write-request';
      readonly handle: Handle;
      readonly offset: number;
      readonly part: Bytes;
    }
  /** `write` false: cancel all that was prepared. */
  | { readonly kind: 'execute-write-request'; readonly write: boolean }
  /** Two handles or more. */
  | { readonly kind: 'read-multiple-variable-request'; readonly handles: readonly Handle[] };

export type AttResponse = ErrorResponse | PositiveResponse;

/** `request`: opcode of the request that is refused. `handle`: the attribute that is to blame, 0 for none. */
export type ErrorResponse = {
  readonly kind: 'error-response';
  readonly request: number;
  readonly handle: Handle;
  readonly code: number;
};

export type PositiveResponse =
  /** `mtu`: the largest PDU the server can receive, octets. */
  | { readonly kind: 'exchange-mtu-response'; readonly mtu: number }
  /** All UUIDs cross in one length: 2 octets if each has a 16-bit form, else 16. */
  | {
      readonly kind: 'find-information-response';
      readonly entries: readonly { readonly handle: Handle; readonly type: Uuid }[];
    }
  | {
      readonly kind: 'find-by-type-value-response';
      readonly found: readonly { readonly handle: Handle; readonly end: Handle }[];
    }
  /** One or more; all values have one length, at most 253 octets. */
  | {
      readonly kind: 'read-by-type-response';
      readonly entries: readonly { readonly handle: Handle; readonly value: Bytes }[];
    }
  | { readonly kind: 'read-response'; readonly value: Bytes }
  | { readonly kind: 'read-blob-response'; readonly part: Bytes }
  /** The values one behind the other; only who knows their lengths can part them. */
  | { readonly kind: 'read-multiple-response'; readonly values: Bytes }
  /** One or more; all values have one length, at most 251 octets. */
  | { readonly kind: 'read-by-group-type-response'; readonly groups: readonly AttributeGroup[] }
  | { readonly kind: 'write-response' }
  /** Echo of the request. */
  | {
      readonly kind: 'prepare-write-response';
      readonly handle: Handle;
      readonly offset: number;
      readonly part: Bytes;
    }
  | { readonly kind: 'execute-write-response' }
  /** `length` is the value's whole length; `value` is shorter where the PDU ended before it. */
  | {
      readonly kind: 'read-multiple-variable-response';
      readonly items: readonly { readonly length: number; readonly value: Bytes }[];
    };

export type AttributeGroup = { readonly handle: Handle; readonly end: Handle; readonly value: Bytes };

/** What a client tells and nobody answers. */
export type AttCommand =
  | { readonly kind: 'write-command'; readonly handle: Handle; readonly value: Bytes }
  /** `signature`: 12 octets. */
  | {
      readonly kind: 'signed-write-command';
      readonly handle: Handle;
      readonly value: Bytes;
      readonly signature: Bytes;
    };

/** What a server sends of itself. An indication waits for its confirmation. */
export type ServerInitiated =
  | { readonly kind: 'handle-value-notification'; readonly handle: Handle; readonly value: Bytes }
  | { readonly kind: 'handle-value-indication'; readonly handle: Handle; readonly value: Bytes }
  /** Two values or more. */
  | {
      readonly kind: 'multiple-handle-value-notification';
      readonly items: readonly { readonly handle: Handle; readonly value: Bytes }[];
    };

export type Confirmation = { readonly kind: 'handle-value-confirmation' };

/** Octets that are no PDU of the protocol. */
export type MalformedPdu = {
  readonly kind: 'malformed';
  /** `undefined` when there is not even an opcode. */
  readonly opcode: number | undefined;
  readonly reason: 'empty' | 'unknown-opcode' | 'length' | 'content';
  /** Found and allowed: `Read Request has 2 octets where 3 are due`. */
  readonly why: string;
};

/** Octets of the smallest MTU, which every connection begins with. Core Vol 3 Part G 5.2.1. */
export const defaultMtu = 23;

/** Octets of the longest attribute value. Core Vol 3 Part F 3.2.9. */
export const longestValue = 512;

/** Octets of an authentication signature. Core Vol 3 Part F 3.3.1. */
export const signatureLength = 12;
