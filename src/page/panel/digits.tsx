import type { JSX } from 'preact';
import type { Bytes } from '../../base/bytes.ts';
import { unitSymbol } from '../../numbers/units.ts';
import type { FloatType, IntegerType } from '../../values/type.ts';
import { plateWidth } from './decimal.ts';
import { figureText } from './plate-text.ts';

/** A number and its unit, large. The room of the widest number is kept: nothing jumps. */
export function Digits(props: {
  readonly type: IntegerType | FloatType;
  readonly bytes: Bytes;
  /** The sign comes and goes often: its room is kept too. */
  readonly swings?: boolean;
}): JSX.Element {
  const { type, bytes } = props;
  const text = figureText(type, bytes);
  const signed = props.swings === true && type.range !== undefined && type.range.min.num < 0n;
  const negative = text.startsWith('−');
  const symbol = unitSymbol(type.unit);
  return (
    <p class="panel-figure">
      <span class="panel-digits" style={{ minWidth: `${(0.88 * plateWidth(type)).toFixed(1)}ch` }}>
        {signed && !negative && <span class="panel-no-sign">−</span>}
        {text}
        {symbol !== '' && <span class="panel-unit"> {symbol}</span>}
      </span>
    </p>
  );
}
