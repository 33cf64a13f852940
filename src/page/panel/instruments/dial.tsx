import type { JSX, TargetedPointerEvent } from 'preact';
import { compare, toDouble, type Rational } from '../../../base/rational.ts';
import { withUnit } from '../../../values/show-number.ts';
import { fullPhysicalRange } from '../../../values/scale.ts';
import type { FloatType, IntegerType, PhysicalRange } from '../../../values/type.ts';
import { plateDigits } from '../decimal.ts';
import { arcPath, dialField, fractionAt, handTurn, onDial, round } from '../dial-geometry.ts';
import { dialScale, fractionOf, moved, stepsOf, valueAt, type DialScale } from '../dial-scale.ts';
import { draftOf, dropDraft, entryAt, knownBytes, setDraft, writeDraft } from '../draft.ts';
import { entryOfPhysical, physicalOf } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import { Digits } from '../digits.tsx';
import type { InstrumentProps } from './instrument-props.ts';
import { NumberField } from './number-field.tsx';

/** From the axis outwards; the air's mark rides on the board's hand where the two agree. */
const radius = { air: 62, large: 74, small: 79, tick: 84, band: 88, label: 97 } as const;

/** A bounded number: a scale with two hands, and the exact entry. */
export function Dial({ sides, labelId }: InstrumentProps): JSX.Element {
  const { type } = sides.definition;
  if (type.kind !== 'integer' && type.kind !== 'float') return <></>;
  const writable = isWritable(sides.definition);
  return (
    <div class="panel-instrument panel-dial">
      <DialDrawing sides={sides} labelId={labelId} type={type} writable={writable} />
      <div class="panel-figure-row">
        <Digits type={type} bytes={knownBytes(sides)} />
        {writable && (
          <NumberField
            type={type}
            name={sides.definition.label}
            entry={entryAt(sides)}
            change={(entry) => {
              setDraft(sides, entry);
            }}
            write={() => void writeDraft(sides, sides.definition.access.includes('write'))}
            undo={() => {
              dropDraft(sides);
            }}
          />
        )}
      </div>
    </div>
  );
}

type DrawingProps = InstrumentProps & { readonly type: IntegerType | FloatType; readonly writable: boolean };

function DialDrawing({ sides, labelId, type, writable }: DrawingProps): JSX.Element {
  const range = rangeOf(type);
  const scale = scaleFor(type, range);
  const board = numberIn(type, sides.truth.value?.raw);
  const air = numberIn(type, sides.air.value?.raw);
  const draft = draftOf(sides).value;
  const entered = draft === undefined ? undefined : physicalOf(type, draft);
  const wished = entered?.ok === true && entered.value.kind === 'number' ? entered.value.value : undefined;
  const shown = wished ?? board ?? numberIn(type, knownBytes(sides)) ?? range.min;
  const words = valueWords(type, shown, wished === undefined ? undefined : board);
  const parts = (
    <>
      <ScaleDrawing scale={scale} />
      {board !== undefined && <Hand kind="board" scale={scale} value={board} />}
      {wished !== undefined && <Hand kind="draft" scale={scale} value={wished} />}
      {air !== undefined && <AirMark scale={scale} value={air} />}
      <rect class="panel-dial-hub" x={dialField.x - 5} y={dialField.y - 5} width="10" height="10" />
    </>
  );
  const viewBox = `0 0 ${dialField.width} ${dialField.height}`;
  if (!writable) {
    return (
      <svg class="panel-dial-drawing" viewBox={viewBox} role="img" aria-labelledby={labelId}>
        {parts}
      </svg>
    );
  }
  const put = (value: Rational): void => {
    setDraft(sides, entryOfPhysical(type, { kind: 'number', value }));
  };
  const steps = stepsOf(type, range);
  return (
    <svg
      class="panel-dial-drawing panel-dial-live"
      viewBox={viewBox}
      role="slider"
      tabindex={0}
      aria-labelledby={labelId}
      aria-valuemin={toDouble(range.min)}
      aria-valuemax={toDouble(range.max)}
      aria-valuenow={toDouble(shown)}
      aria-valuetext={words}
      onPointerDown={(event) => {
        if (event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        put(valueAt(scale, fractionAt(fieldPoint(event)), steps.drag));
      }}
      onPointerMove={(event) => {
        if (!event.currentTarget.hasPointerCapture(event.pointerId)) return;
        put(valueAt(scale, fractionAt(fieldPoint(event)), steps.drag));
      }}
      onKeyDown={(event) => {
        const next = turned(event.key, shown, range, steps);
        if (next !== undefined) put(next);
        else if (event.key === 'Enter') void writeDraft(sides, sides.definition.access.includes('write'));
        else if (event.key === 'Escape' && draft !== undefined) dropDraft(sides);
        else return;
        event.preventDefault();
      }}
    >
      {parts}
    </svg>
  );
}

function ScaleDrawing({ scale }: { readonly scale: DialScale }): JSX.Element {
  const small: string[] = [];
  const large: string[] = [];
  for (const { at, label } of scale.ticks) {
    const inner = onDial(at, label === '' ? radius.small : radius.large);
    const outer = onDial(at, radius.tick);
    const path = `M${round(outer.x)} ${round(outer.y)}L${round(inner.x)} ${round(inner.y)}`;
    (label === '' ? small : large).push(path);
  }
  return (
    <>
      <path class="panel-dial-band" d={arcPath(scale.band.start, scale.band.end, radius.band)} />
      <path class="panel-dial-small" d={small.join('')} />
      <path class="panel-dial-large" d={large.join('')} />
      {scale.ticks.map(({ at, label }) => {
        if (label === '') return null;
        const { x, y } = onDial(at, radius.label);
        return (
          <text
            key={label}
            class="panel-dial-label"
            x={round(x)}
            y={round(y) + 3.5}
            text-anchor={at < 0.45 ? 'end' : at > 0.55 ? 'start' : 'middle'}
          >
            {label}
          </text>
        );
      })}
    </>
  );
}

type MarkProps = { readonly scale: DialScale; readonly value: Rational };

/** Points at the value; a value beyond the scale is at its end, with a barb that says so. */
function Hand({ kind, scale, value }: MarkProps & { readonly kind: 'board' | 'draft' }): JSX.Element {
  const beyond = compare(value, scale.from) < 0 ? -1 : compare(value, scale.to) > 0 ? 1 : 0;
  return (
    <g
      class={`panel-hand panel-hand-${kind}`}
      style={{ transform: `rotate(${handTurn(fractionOf(scale, value))}deg)` }}
    >
      <path d={kind === 'board' ? 'M117.2 112 119.3 32h1.4L122.8 112z' : 'M116 96 119 36h2L124 96z'} />
      {beyond !== 0 && <path class="panel-hand-beyond" d={beyond > 0 ? 'M124 36l7 5-7 5' : 'M116 36l-7 5 7 5'} />}
    </g>
  );
}

function AirMark({ scale, value }: MarkProps): JSX.Element {
  const { x, y } = onDial(fractionOf(scale, value), radius.air);
  return <circle class="panel-dial-air" cx={round(x)} cy={round(y)} r="4" />;
}

/** `1.20 Hz, not written yet; the board holds 0.50 Hz`. */
function valueWords(type: IntegerType | FloatType, shown: Rational, held: Rational | undefined): string {
  const text = withUnit(plateDigits(type, shown), type.unit);
  return held === undefined
    ? text
    : `${text}, not written yet; the board holds ${withUnit(plateDigits(type, held), type.unit)}`;
}

function turned(
  key: string,
  value: Rational,
  range: PhysicalRange,
  { fine, coarse }: ReturnType<typeof stepsOf>,
): Rational | undefined {
  switch (key) {
    case 'ArrowUp':
    case 'ArrowRight':
      return moved(value, 1, fine, range);
    case 'ArrowDown':
    case 'ArrowLeft':
      return moved(value, -1, fine, range);
    case 'PageUp':
      return moved(value, 1, coarse, range);
    case 'PageDown':
      return moved(value, -1, coarse, range);
    case 'Home':
      return range.min;
    case 'End':
      return range.max;
    default:
      return undefined;
  }
}

const scales = new WeakMap<IntegerType | FloatType, DialScale>();

function scaleFor(type: IntegerType | FloatType, range: PhysicalRange): DialScale {
  const known = scales.get(type);
  if (known !== undefined) return known;
  const scale = dialScale(range);
  scales.set(type, scale);
  return scale;
}

function rangeOf(type: IntegerType | FloatType): PhysicalRange {
  if (type.range !== undefined) return type.range;
  return fullPhysicalRange(8, false, { multiplier: 1, decimal: 0, binary: 0 });
}

function numberIn(type: IntegerType | FloatType, raw: Uint8Array | undefined): Rational | undefined {
  const physical = raw === undefined ? undefined : physicalOfBytes(type, raw);
  return physical?.kind === 'number' ? physical.value : undefined;
}

/** A pointer's place in the drawing's own field. */
function fieldPoint(event: TargetedPointerEvent<SVGSVGElement>): { readonly x: number; readonly y: number } {
  const matrix = event.currentTarget.getScreenCTM();
  if (matrix === null) return { x: dialField.x, y: 0 };
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  return { x: point.x, y: point.y };
}
