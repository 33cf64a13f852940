/** Octets of program memory and of working memory. */
export type Octets = { readonly flash: number; readonly ram: number };

/** What a toolchain was measured to make of the generated firmware: the model's figures, by part. */
export type MeasuredTarget = {
  /** Processor and optimisation: `Cortex-M0+, -Os`. */
  readonly name: string;
  readonly toolchain: string;
  /** Day of the measurement, ISO 8601. */
  readonly date: string;
  /** Protocol engine and runtime, the same for every contract. */
  readonly engine: Octets;
  /** The console on the serial port. */
  readonly console: Octets;
  /** Each row of the attribute table. */
  readonly perRow: Octets;
  /** Each value, beside its own octets: its definition, its setters and getters. */
  readonly perValue: Octets;
  /** Each drive. */
  readonly perDrive: Octets;
  /** RAM for each connection, beside a CCCD a subscribable value. */
  readonly perConnection: number;
  /** The largest miss of the model, as a share, on the contracts that it was made from and checked with. */
  readonly error: number;
};

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
};
