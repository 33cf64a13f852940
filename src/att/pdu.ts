/** PDUs of the attribute protocol: the public face of `pdu/`. */
export type { AttPdu, AttRequest, AttResponse } from './pdu/model.ts';
export { defaultMtu, longestValue } from './pdu/model.ts';
export { encodePdu } from './pdu/encode.ts';
export { decodePdu } from './pdu/decode.ts';
