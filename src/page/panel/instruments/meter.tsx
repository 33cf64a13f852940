import type { JSX } from 'preact';
import { showRange } from '../../../values/show-number.ts';
import { knownBytes } from '../draft.ts';
import { StripChart, windowSeconds } from '../strip-chart.tsx';
import { Digits } from '../digits.tsx';
import type { InstrumentProps } from './instrument-props.ts';

/** A number that the board sends by itself: its figure and its trace. */
export function Meter({ sides }: InstrumentProps): JSX.Element {
  const { type, label } = sides.definition;
  if (type.kind !== 'integer' && type.kind !== 'float') return <></>;
  return (
    <div class="panel-instrument panel-meter">
      <div class="panel-figure-row">
        <Digits type={type} bytes={knownBytes(sides)} swings={sides.definition.notify?.on.kind === 'every'} />
        <p class="panel-caption">
          <span class="board-ink">■ board</span> <span class="air-ink">● air</span> · last {windowSeconds} s
          {type.range === undefined ? '' : `; can be ${showRange(type.range, type.unit)}`}
        </p>
      </div>
      <StripChart sides={sides} type={type} words={`${label}, last ${windowSeconds} s`} />
    </div>
  );
}
