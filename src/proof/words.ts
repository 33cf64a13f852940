import { toHex, type Bytes } from '../base/bytes.ts';
import { showTime, us } from '../base/quantity.ts';
import type { Failure } from '../att/link.ts';
import { attErrorName } from '../numbers/att-errors.ts';
import { opcode } from '../numbers/att-opcodes.ts';
import type { Handle } from '../table/model.ts';
import { showBytes } from '../values/show.ts';
import type { ValueType } from '../values/type.ts';
import { parseError } from './wire.ts';

/** The words of verdicts: plain and short, the octets behind. */

const longestHex = 24;
const longestShown = 60;

/** `90 01`, `no octets`; a long value by its beginning and its length. */
export function hexWords(bytes: Bytes): string {
  if (bytes.length === 0) return 'no octets';
  const head = toHex(bytes.subarray(0, longestHex), ' ');
  return bytes.length > longestHex ? `${head} … ${bytes.length} octets` : head;
}

/** `4 Hz (90 01)`: what the octets mean, then the octets. */
export function valueWords(type: ValueType, bytes: Bytes): string {
  const shown = showBytes(type, bytes);
  const short = shown.length > longestShown ? `${shown.slice(0, longestShown)}…` : shown;
  return `${short === '' ? 'an empty text' : short} (${hexWords(bytes)})`;
}

/** `0x000d`. */
export function handleWords(handle: Handle): string {
  return `0x${handle.toString(16).padStart(4, '0')}`;
}

/** `error 0x0d Invalid Attribute Value Length`. */
export function errorWords(code: number): string {
  return `error 0x${code.toString(16).padStart(2, '0')} ${attErrorName(code)}`;
}

/** What a failed operation looks like from the bench. */
export function failureWords(reason: Failure): string {
  switch (reason.kind) {
    case 'att-error':
      return reason.code === undefined ? 'the board refused' : `the board answered ${errorWords(reason.code)}`;
    case 'timeout':
      return 'the board did not answer within 30 s';
    case 'link-lost':
      return 'the link ended';
    case 'protocol':
      return `the board broke the protocol: ${reason.about}`;
    case 'not-reachable':
      return `this link cannot do it: ${reason.about}`;
  }
}

/** A raw answer: an error by its name, anything else by its octets. */
export function answerWords(pdu: Bytes | undefined): string {
  if (pdu === undefined) return 'no answer';
  const error = parseError(pdu);
  if (error !== undefined) return `${errorWords(error.code)} (${hexWords(pdu)})`;
  if (pdu[0] === opcode.writeResponse && pdu.length === 1) return 'it took the write (13)';
  return `an answer: ${hexWords(pdu)}`;
}

/** `1 notification`, `3 notifications`. */
export function count(n: number, one: string, many = `${one}s`): string {
  return `${n === 0 ? 'no' : n} ${n === 1 ? one : many}`;
}

/** A time as a person reads it, rounded to a tenth of a millisecond. */
export function timeWords(time: number): string {
  return showTime(us(Math.round(time / 100) * 100));
}

/** `a, b and c`. */
export function listWords(parts: readonly string[]): string {
  if (parts.length < 2) return parts.join('');
  return `${parts.slice(0, -1).join(', ')} and ${parts[parts.length - 1] ?? ''}`;
}

/** What a person may use in an id: lower case letters, digits and hyphens. */
export function slug(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
}
