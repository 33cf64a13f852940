/** Octets of program memory and of working memory. */
export type Octets = { readonly flash: number; readonly ram: number };

/** What the exact table holds, whatever runs it. */
export type TableContent = {
  readonly rows: number;
  /** Octets of values that never change: declarations, formats, names. */
  readonly constantOctets: number;
  readonly values: number;
  /** Octets of all values at their longest. */
  readonly valueOctets: number;
  readonly cccds: number;
  readonly drives: number;
  /** The ATT MTU that the contract counts on: the host’s buffers are so long. */
  readonly mtuOctets: number;
};

/**
 * What a toolchain was measured to make of the generated firmware: a whole image of a port, without the C library that it
 * does not use. Fitted by least squares to images of several contracts; no part is below zero.
 */
export type MeasuredTarget = {
  /** Port, processor and optimisation: `rp2040, Cortex-M0+, -Os`. */
  readonly name: string;
  readonly toolchain: string;
  /** Day of the measurement, ISO 8601. */
  readonly date: string;
  /** Protocol engine, host, port and start-up: the same for every contract. */
  readonly engine: Octets;
  /** The console on the serial port and its log of events; zero for a port without. */
  readonly console: Octets;
  /** Octets for each of what the table holds. */
  readonly per: Readonly<Record<keyof TableContent, Octets>>;
  /** Images that it was fitted to. */
  readonly images: number;
  /** The largest miss as a share, on an image that was left out of the fit: each was, in turn. */
  readonly error: Octets;
};
