import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { values, type ValueSides } from '../stores/values.ts';
import { board } from '../stores/board.ts';
import { unitsOf } from './instrument-kind.ts';
import { packPlates } from './pack.ts';
import { Plate } from './plate.tsx';

/** Pixels of one unit of the grid, at least; below three units plates stand in one column. */
const unitWidth = 160;

const unitsNow = signal(8);

const observer = new ResizeObserver(([entry]) => {
  if (entry === undefined) return;
  const units = Math.floor((entry.contentRect.width + 24) / unitWidth);
  unitsNow.value = units < 4 ? 1 : units;
});
let watched: Element | undefined;
function watchWidth(element: HTMLElement | null): void {
  if (watched !== undefined) observer.unobserve(watched);
  watched = element ?? undefined;
  if (element !== null) observer.observe(element);
}

/** All plates of the running board, set like a printed page. */
export function Sheet(): JSX.Element {
  const rows = packPlates(
    inReadingOrder(values.value).map((sides) => ({ sides, units: unitsOf(sides.definition) })),
    unitsNow.value,
  );
  return (
    <div class="panel-sheet" ref={watchWidth}>
      {rows.flat().map(({ plate: { sides }, parts }) => (
        <Plate key={`${board.peek()?.number ?? 0}-${sides.definition.index}`} sides={sides} parts={parts} />
      ))}
    </div>
  );
}

/** The contract's own services first, then what it uses, then what the board says of itself. */
export function inReadingOrder(all: readonly ValueSides[]): readonly ValueSides[] {
  const origins = board.value?.plan.origins ?? {};
  const rank = ({ definition }: ValueSides): number =>
    ({ own: 0, use: 1, 'board-information': 2 })[origins[definition.service] ?? 'own'];
  return [...all].sort((a, b) => rank(a) - rank(b));
}
