import { countOf } from '../../values/refusal.ts';

/** Octets of a Write Request or Command before the value: opcode and handle. Core Vol 3 Part F 3.4.5. */
const writeHead = 3;
/** Of a Prepare Write Request: opcode, handle and offset. Core Vol 3 Part F 3.4.6.1. */
const prepareHead = 5;

/** How a text of `length` octets crosses at this MTU: `fits one write`, `takes 3 prepared writes at MTU 23`. */
export function writeHint(length: number, mtu: number): string {
  if (length <= mtu - writeHead) return 'fits one write';
  return `takes ${countOf(Math.ceil(length / (mtu - prepareHead)), 'prepared write')} at MTU ${mtu}`;
}
