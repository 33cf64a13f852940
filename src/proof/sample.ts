import type { Bytes } from '../base/bytes.ts';

/** Octets that the contract allows (or, in `refused-samples.ts`, forbids), and the name of what is special about them. */
export type Sample = {
  /** Part of a case id: `max`, `choice-2`, `gain-min`. */
  readonly name: string;
  readonly bytes: Bytes;
};
