import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { FloatType, IntegerType } from '../../values/type.ts';
import type { ValueSides } from '../stores/values.ts';

/** Seconds a chart shows. */
export const windowSeconds = 30;

/** The trace of a number: the board's line, what crossed the air as dots. It draws by itself, from the store's trace. */
export function StripChart(props: {
  readonly sides: ValueSides;
  readonly type: IntegerType | FloatType;
  /** What is seen: `Water level, last 30 s`. */
  readonly words: string;
}): JSX.Element {
  const { sides, type, words } = props;
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    let stop: (() => void) | undefined;
    let gone = false;
    // The chart library is fetched after the page is there.
    void import('./strip-chart-drawing.ts').then(({ drawStripChart }) => {
      if (!gone && place.current !== null) stop = drawStripChart(place.current, sides, type, windowSeconds);
    });
    return () => {
      gone = true;
      stop?.();
    };
  }, [sides, type]);
  return (
    <div class="panel-chart">
      <div class="panel-chart-drawing" ref={place} role="img" aria-label={words} />
    </div>
  );
}
