import { computed, signal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Basis } from '../../budget/basis.ts';
import { presenting } from '../stores/view.ts';
import type { Axis } from './axis.ts';

/** One result as a sheet: what is seen, the drawing, what can be moved, the table, where it comes from and where it ends. */
export function PlotSheet(props: {
  readonly id: string;
  readonly title: string;
  /** One sentence with the figures that matter. */
  readonly lead: ComponentChildren;
  readonly inputs?: ComponentChildren;
  readonly table: ComponentChildren;
  readonly basis: Basis | undefined;
  readonly children: ComponentChildren;
}): JSX.Element {
  const { id, title, lead, inputs, table, basis, children } = props;
  return (
    <section class="budget-sheet" id={`budget-${id}`} aria-labelledby={`budget-${id}-title`}>
      <h2 id={`budget-${id}-title`}>{title}</h2>
      <p class="budget-lead">{lead}</p>
      <div class="budget-body">
        <div class="budget-drawing">{children}</div>
        {inputs !== undefined && (
          <div class="budget-inputs" role="group" aria-label={`Inputs of ${title}`}>
            {inputs}
          </div>
        )}
        <div class="budget-behind">
          <details class="budget-more">
            <summary>Table</summary>
            <div class="budget-table" tabIndex={0} role="group" aria-label={`Table of ${title}`}>
              {table}
            </div>
          </details>
          {basis !== undefined && <BasisWords basis={basis} />}
        </div>
      </div>
    </section>
  );
}

/** Formula, source, assumptions, and where a result stops being true. */
export function BasisWords({ basis }: { readonly basis: Basis }): JSX.Element {
  return (
    <details class="budget-more">
      <summary>Formula, and where it ends</summary>
      <dl class="budget-basis">
        <dt>Formula</dt>
        <dd class="mono">{basis.formula}</dd>
        <dt>Source</dt>
        <dd>{basis.source}</dd>
        <dt>Assumes</dt>
        <dd>
          <ul>
            {basis.assumes.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </dd>
        <dt>Ends where</dt>
        <dd>
          <ul>
            {basis.validity.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </dd>
      </dl>
    </details>
  );
}

/** How much larger words are than at a desk: on a projector drawings grow with them. */
const wordScale = computed(() => (presenting.value ? 1.6 : 1));

/** Where axes stand in a drawing of this size: figures to the left, figures and their unit below, a word above. */
export function boxIn(width: number, height: number, left = 46): Box {
  const scale = wordScale.value;
  return { left: left * scale, top: 26 * scale, width: width - left * scale - 18, height: height - 78 * scale };
}

/** A drawing as wide as its place, in pixels, so that its words keep their size on every screen. */
export function Drawing(props: {
  /** At a desk, pixels. */
  readonly height: number;
  /** What it shows, for those who do not see it. */
  readonly words: string;
  readonly draw: (width: number, height: number) => ComponentChildren;
}): JSX.Element {
  const { words, draw } = props;
  const height = Math.round(props.height * wordScale.value);
  const place = useRef<HTMLDivElement>(null);
  const width = useMemo(() => signal(0), []);
  useEffect(() => {
    const element = place.current;
    if (element === null) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      if (entry !== undefined) width.value = Math.floor(entry.contentRect.width);
    });
    observer.observe(element);
    return () => {
      observer.disconnect();
    };
  }, [width]);
  return (
    <div class="budget-place" ref={place} style={{ minHeight: `${height}px` }}>
      {width.value > 0 && (
        <svg width={width.value} height={height} role="img" aria-label={words}>
          {draw(width.value, height)}
        </svg>
      )}
    </div>
  );
}

/** The rectangle that a plot’s axes span, in pixels. */
export type Box = { readonly left: number; readonly top: number; readonly width: number; readonly height: number };

export function xAt(box: Box, axis: Axis, value: number): number {
  return box.left + box.width * Math.min(1, Math.max(0, axis.place(value)));
}

export function yAt(box: Box, axis: Axis, value: number): number {
  return box.top + box.height * (1 - Math.min(1, Math.max(0, axis.place(value))));
}

/** Hairlines and figures of both axes, and what they count. */
export function Axes(props: {
  readonly box: Box;
  readonly x: Axis;
  readonly y?: Axis;
  readonly xWords: string;
  readonly yWords?: string;
  readonly showX: (value: number) => string;
  readonly showY?: (value: number) => string;
}): JSX.Element {
  const { box, x, y, xWords, yWords, showX, showY } = props;
  const bottom = box.top + box.height;
  // A figure takes some 46 pixels; of more than fit every second is left out.
  const scale = wordScale.value;
  const every = Math.max(1, Math.ceil((x.ticks.length * 46 * scale) / box.width));
  return (
    <g class="budget-axes">
      {y?.ticks.map((tick) => {
        const at = yAt(box, y, tick);
        return (
          <g key={tick}>
            <line class="budget-grid" x1={box.left} x2={box.left + box.width} y1={at} y2={at} />
            <text x={box.left - 6} y={at} text-anchor="end" dominant-baseline="middle">
              {showY?.(tick) ?? tick}
            </text>
          </g>
        );
      })}
      {x.ticks.map((tick, i) => {
        const at = xAt(box, x, tick);
        return (
          <g key={tick}>
            <line class="budget-tick" x1={at} x2={at} y1={bottom} y2={bottom + 5} />
            {i % every === 0 && (
              <text x={at} y={bottom + 18 * scale} text-anchor="middle">
                {showX(tick)}
              </text>
            )}
          </g>
        );
      })}
      <line class="budget-rule" x1={box.left} x2={box.left + box.width} y1={bottom} y2={bottom} />
      <text class="budget-axis-words" x={box.left + box.width} y={bottom + 36 * scale} text-anchor="end">
        {xWords}
      </text>
      {yWords !== undefined && (
        <text class="budget-axis-words" x={box.left} y={box.top - 10 * scale}>
          {yWords}
        </text>
      )}
    </g>
  );
}

/** A line through points, given in pixels. */
export function pathOf(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');
}
