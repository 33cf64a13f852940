/** PDUs of the attribute protocol: the public face of `pdu/`. */
export type { AttPdu, AttRequest, AttResponse, MalformedPdu } from './pdu/model.ts';
export { defaultMtu, largestMtu, longestValue, signatureLength } from './pdu/model.ts';
export { encodePdu } from './pdu/encode.ts';
export { decodePdu } from './pdu/decode.ts';
