import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { Entry } from '../../ledger/entry.ts';
import type { ValueDefinition } from '../../table/model.ts';
import { showBytes } from '../../values/show.ts';
import { inks, onPrinting } from '../panel/inks.ts';
import { choose, chosen } from './chosen.ts';
import { drawLane, laneHeight, laneWords, spotAt, type Spot } from './lane-drawing.ts';

export type LaneProps = {
  readonly definition: ValueDefinition;
  /** Of this value, ascending. */
  readonly entries: readonly Entry[];
  readonly from: number;
  readonly to: number;
};

/** One value's truth and air on the common time axis. */
export function Lane({ definition, entries, from, to }: LaneProps): JSX.Element {
  const canvas = useRef<HTMLCanvasElement>(null);
  const spots = useRef<readonly Spot[]>([]);
  const picked = chosen.value;
  useEffect(() => {
    const draw = (): void => {
      const place = canvas.current;
      const context = place?.getContext('2d');
      if (place === null || context === null || context === undefined) return;
      const width = place.clientWidth;
      const size = devicePixelRatio;
      place.width = Math.round(width * size);
      place.height = Math.round(laneHeight * size);
      context.setTransform(size, 0, 0, size, 0, 0);
      spots.current = drawLane(context, entries, { from, to, width }, inks(), picked);
    };
    draw();
    const watcher = new ResizeObserver(draw);
    if (canvas.current !== null) watcher.observe(canvas.current);
    const quiet = onPrinting(draw);
    return () => {
      watcher.disconnect();
      quiet();
    };
  }, [entries, from, to, picked]);
  const last = (kind: 'truth' | 'air'): string => {
    const entry = entries.findLast((one) => one.kind === kind);
    return entry?.raw === undefined ? '–' : showBytes(definition.type, entry.raw);
  };
  return (
    <li class="ledger-lane" data-value={definition.id}>
      <div class="ledger-lane-name">
        <strong>{definition.label}</strong>
        <span class="board-ink">
          <span aria-hidden="true">■ </span>
          {last('truth')}
        </span>
        <span class="air-ink">
          <span aria-hidden="true">● </span>
          {last('air')}
        </span>
      </div>
      <canvas
        ref={canvas}
        class="ledger-lane-drawing"
        role="img"
        aria-label={laneWords(definition.label, entries)}
        onClick={({ offsetX, offsetY }) => {
          const entry = spotAt(spots.current, offsetX, offsetY);
          if (entry !== undefined) choose(entry);
        }}
      />
    </li>
  );
}
