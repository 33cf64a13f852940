import type { AttPdu, AttRequest, AttResponse, MalformedPdu } from './model.ts';

/** Kinds are named so that this holds for exactly the requests of {@link AttRequest}. */
export function isRequest(pdu: AttPdu | MalformedPdu): pdu is AttRequest {
  return pdu.kind.endsWith('-request');
}

/** Errors included. */
export function isResponse(pdu: AttPdu | MalformedPdu): pdu is AttResponse {
  return pdu.kind.endsWith('-response');
}
