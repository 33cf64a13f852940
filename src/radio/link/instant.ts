/** Something both ends do before one connection event. */
export type Instant = {
  /** Event counter, 16 bits. */
  readonly event: number;
  /** Whether the peripheral knows of it. */
  known: boolean;
  readonly apply: () => void;
};
