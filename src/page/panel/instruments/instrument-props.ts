import type { ValueSides } from '../../stores/values.ts';

/** What each instrument is drawn from. */
export type InstrumentProps = {
  readonly sides: ValueSides;
  /** Id of the element that names the instrument. */
  readonly labelId: string;
};
