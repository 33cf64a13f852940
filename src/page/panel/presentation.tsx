import type { JSX } from 'preact';
import { board } from '../stores/board.ts';
import { values } from '../stores/values.ts';
import { choosePlate, chosenPlates, rigName } from './chosen-plates.ts';
import { unitsOf } from './instrument-kind.ts';
import { packPlates } from './pack.ts';
import { Plate } from './plate.tsx';
import { RigWindow } from './rig-window.tsx';
import { inReadingOrder } from './sheet.tsx';
import presentationStyles from './presentation.css?inline';
import { adoptStyles } from '../styles/adopt.ts';

adoptStyles(presentationStyles);

/** Units of a row on a projector: a meter and two dials, or two meters. */
const units = 8;

/** Chosen plates fill the screen, to be read from the last row. */
export function Presentation(): JSX.Element {
  const chosen = chosenPlates.value;
  const all = inReadingOrder(values.value);
  const hasRig = board.value?.rig === 'wave-tank';
  const plates = all.filter(({ definition }) => chosen.includes(definition.id));
  const rows = packPlates(
    plates.map((sides) => ({ sides, units: unitsOf(sides.definition) })),
    units,
  );
  const shown = hasRig && chosen.includes(rigName);
  return (
    <div class="panel-presentation" ref={fillScreen}>
      {shown && <RigWindow />}
      <div class="panel-sheet panel-sheet-large">
        {rows.flat().map(({ plate: { sides }, parts }) => (
          <Plate key={`${board.peek()?.number ?? 0}-${sides.definition.index}`} sides={sides} parts={parts} />
        ))}
        {plates.length === 0 && !shown && <p class="shell-empty">Choose below what the room should see.</p>}
      </div>
      <div class="panel-choosing" role="group" aria-label="On the screen">
        {hasRig && <Choosing name={rigName} label="Wave tank" on={shown} />}
        {all.map(({ definition: { id, label } }) => (
          <Choosing key={id} name={id} label={label} on={chosen.includes(id)} />
        ))}
      </div>
    </div>
  );
}

/** From under the page's head to the foot of the window. */
let stopFilling: (() => void) | undefined;
function fillScreen(element: HTMLElement | null): void {
  stopFilling?.();
  stopFilling = undefined;
  if (element === null) return;
  const fit = (): void => {
    const top = element.getBoundingClientRect().top + scrollY;
    element.style.height = `${Math.max(320, innerHeight - top)}px`;
  };
  fit();
  const sizes = new ResizeObserver(fit);
  sizes.observe(document.documentElement);
  stopFilling = () => {
    sizes.disconnect();
  };
}

function Choosing({
  name,
  label,
  on,
}: {
  readonly name: string;
  readonly label: string;
  readonly on: boolean;
}): JSX.Element {
  return (
    <button
      type="button"
      aria-pressed={on}
      onClick={() => {
        choosePlate(name, !on);
      }}
    >
      {label}
    </button>
  );
}
