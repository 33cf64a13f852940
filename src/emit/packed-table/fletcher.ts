import type { Bytes } from '../../base/bytes.ts';

/** Fletcher-16: two sums modulo 255, the second in the upper octet. J. G. Fletcher, IEEE Trans. Commun. 30 (1982) 247. */
export function fletcher16(bytes: Bytes): number {
  let first = 0;
  let second = 0;
  for (const octet of bytes) {
    first = (first + octet) % 255;
    second = (second + first) % 255;
  }
  return (second << 8) | first;
}
