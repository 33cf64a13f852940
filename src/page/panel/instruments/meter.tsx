import type { JSX } from 'preact';
import { unitSymbol } from '../../../numbers/units.ts';
import { showRange } from '../../../values/show-number.ts';
import { plateWidth } from '../decimal.ts';
import { knownBytes } from '../draft.ts';
import { figureText } from '../plate-text.ts';
import { StripChart, windowSeconds } from '../strip-chart.tsx';
import type { InstrumentProps } from './instrument.tsx';

/** A number that the board sends by itself: its figure and its trace. */
export function Meter({ sides }: InstrumentProps): JSX.Element {
  const { type, label } = sides.definition;
  if (type.kind !== 'integer' && type.kind !== 'float') return <></>;
  return (
    <div class="panel-instrument panel-meter">
      <div class="panel-figure-row">
        <p class="panel-figure">
          <span class="panel-digits" style={{ minWidth: `${plateWidth(type)}ch` }}>
            {figureText(type, knownBytes(sides))}
          </span>
          <span class="panel-unit">{unitSymbol(type.unit)}</span>
        </p>
        <p class="panel-caption">
          Last {windowSeconds} s{type.range === undefined ? '' : `; can be ${showRange(type.range, type.unit)}`}
        </p>
      </div>
      <StripChart sides={sides} type={type} words={`${label}, last ${windowSeconds} s`} />
    </div>
  );
}
