/** Length and channel identifier in front of an ATT PDU. Core Vol 3 Part A 3.1. */
export const l2capHeader = 4;

/**
 * Payloads of the link-layer packets that carry one ATT PDU, in octets: PDU and L2CAP header cut into pieces of
 * `dataLength`, the last as short as it comes. Core Vol 3 Part A 7.2.1; Vol 6 Part B 2.4.
 *
 * @param attOctets 1 or more
 * @param dataLength 27..251
 */
export function fragments(attOctets: number, dataLength: number): readonly number[] {
  const payloads: number[] = [];
  for (let left = attOctets + l2capHeader; left > 0; left -= dataLength) payloads.push(Math.min(left, dataLength));
  return payloads;
}
