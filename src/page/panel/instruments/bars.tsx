import type { JSX, TargetedPointerEvent } from 'preact';
import { toDouble, type Rational } from '../../../base/rational.ts';
import { unitSymbol } from '../../../numbers/units.ts';
import type { ArrayType, FloatType, IntegerType, Physical, PhysicalRange } from '../../../values/type.ts';
import type { ValueSides } from '../../stores/values.ts';
import { dialScale, fractionOf, stepsOf, valueAt, type DialScale } from '../dial-scale.ts';
import { draftOf, dropDraft, entryAt, knownBytes, setDraft, writeDraft } from '../draft.ts';
import { entryOfPhysical, physicalOf } from '../entry.ts';
import { isWritable } from '../instrument-kind.ts';
import { physicalOfBytes } from '../plate-text.ts';
import { withPart } from './form.tsx';
import type { InstrumentProps } from './instrument-props.ts';
import { NumberField } from './number-field.tsx';
import barsStyles from './bars.css?inline';
import { adoptStyles } from '../../styles/adopt.ts';

adoptStyles(barsStyles);

const height = 96;
const width = 480;
const left = 44;

/** An array of numbers: a bar for each on one scale, to be drawn by hand, and the exact entry of each. */
export function Bars({ sides }: InstrumentProps): JSX.Element {
  const { type, label, access } = sides.definition;
  if (type.kind !== 'array' || (type.element.kind !== 'integer' && type.element.kind !== 'float')) return <></>;
  const { element } = type;
  const held = numbersOf(physicalOfBytes(type, knownBytes(sides)));
  const entry = entryAt(sides);
  const wished = entry.kind === 'list' ? entry.items.map((item) => numberOf(physicalOf(element, item))) : [];
  const writable = isWritable(sides.definition);
  const dirty = draftOf(sides).value !== undefined;
  const scale = dialScale(rangeOf(element, [...held, ...wished]));
  return (
    <div class="panel-instrument">
      <BarsDrawing
        sides={sides}
        type={type}
        element={element}
        scale={scale}
        held={held}
        wished={dirty ? wished : []}
        writable={writable}
      />
      {writable && entry.kind === 'list' && (
        <div class="panel-items">
          {entry.items.map((item, i) => (
            <div key={i} class="panel-item">
              <span class="panel-item-number mono">{i + 1}</span>
              <NumberField
                type={element}
                name={`${label}, item ${i + 1}`}
                entry={item}
                change={(changed) => {
                  setDraft(sides, withPart(entry, i, changed));
                }}
                write={() => void writeDraft(sides, access.includes('write'))}
                undo={() => {
                  dropDraft(sides);
                }}
                note=""
              />
            </div>
          ))}
        </div>
      )}
    </div>
  );
}

type BarsDrawingProps = {
  readonly sides: ValueSides;
  readonly type: ArrayType;
  readonly element: IntegerType | FloatType;
  readonly scale: DialScale;
  readonly held: readonly (Rational | undefined)[];
  readonly wished: readonly (Rational | undefined)[];
  readonly writable: boolean;
};

function BarsDrawing(props: BarsDrawingProps): JSX.Element {
  const { sides, type, element, scale, held, wished, writable } = props;
  const count = Math.max(1, held.length, wished.length);
  const pitch = (width - left) / count;
  const y = (value: Rational): number => 6 + (height - 12) * (1 - fractionOf(scale, value));
  const base = y(nearestToZero(scale));
  const drag = (event: TargetedPointerEvent<SVGSVGElement>): void => {
    const matrix = event.currentTarget.getScreenCTM();
    if (matrix === null) return;
    const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    const index = Math.floor((point.x - left) / pitch);
    if (index < 0 || index >= count) return;
    const fraction = 1 - (point.y - 6) / (height - 12);
    const value = valueAt(scale, fraction, stepsOf(element, scale.allowed).drag);
    setDraft(sides, withPart(entryAt(sides), index, entryOfPhysical(element, { kind: 'number', value })));
  };
  return (
    <svg
      class={writable ? 'panel-bars panel-bars-live' : 'panel-bars'}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={`${held.length} of ${type.maxCount} values, ${sides.definition.label}`}
      onPointerDown={
        writable
          ? (event) => {
              if (event.button !== 0) return;
              event.currentTarget.setPointerCapture(event.pointerId);
              drag(event);
            }
          : undefined
      }
      onPointerMove={
        writable
          ? (event) => {
              if (event.currentTarget.hasPointerCapture(event.pointerId)) drag(event);
            }
          : undefined
      }
    >
      {scale.ticks
        .filter(({ label }) => label !== '')
        .map(({ value, label }) => (
          <g key={label}>
            <path class="panel-bars-line" d={`M${left} ${y(value)}H${width}`} />
            <text class="panel-bars-label" x={left - 6} y={y(value) + 3.5} text-anchor="end">
              {label}
            </text>
          </g>
        ))}
      <text class="panel-bars-label" x="0" y="9">
        {unitSymbol(element.unit)}
      </text>
      {held.map((value, i) =>
        value === undefined ? null : (
          <rect
            key={i}
            class="panel-bar"
            x={left + i * pitch + pitch * 0.2}
            width={pitch * 0.6}
            y={Math.min(base, y(value))}
            height={Math.max(1.5, Math.abs(base - y(value)))}
          />
        ),
      )}
      {wished.map((value, i) =>
        value === undefined || sameNumber(value, held[i]) ? null : (
          <rect
            key={i}
            class="panel-bar-wished"
            x={left + i * pitch + pitch * 0.12}
            width={pitch * 0.76}
            y={Math.min(base, y(value))}
            height={Math.max(1.5, Math.abs(base - y(value)))}
          />
        ),
      )}
    </svg>
  );
}

function numbersOf(physical: Physical | undefined): readonly (Rational | undefined)[] {
  if (physical?.kind !== 'list') return [];
  return physical.items.map((item) => (item.kind === 'number' ? item.value : undefined));
}

function numberOf(result: ReturnType<typeof physicalOf>): Rational | undefined {
  return result.ok && result.value.kind === 'number' ? result.value.value : undefined;
}

function sameNumber(a: Rational, b: Rational | undefined): boolean {
  return b !== undefined && a.num === b.num && a.den === b.den;
}

/** The contract's range; for numbers without one, what is shown and zero. */
function rangeOf(element: IntegerType | FloatType, shown: readonly (Rational | undefined)[]): PhysicalRange {
  if (element.range !== undefined && (element.kind === 'float' || element.bounded)) return element.range;
  const numbers = shown.filter((value) => value !== undefined);
  const sorted = [...numbers, { num: 0n, den: 1n }].sort((a, b) => toDouble(a) - toDouble(b));
  const [min = { num: 0n, den: 1n }] = sorted;
  const max = sorted.at(-1) ?? min;
  return sameNumber(min, max) ? { min, max: { num: 1n, den: 1n } } : { min, max };
}

function nearestToZero({ from, to }: DialScale): Rational {
  if (from.num > 0n) return from;
  return to.num < 0n ? to : { num: 0n, den: 1n };
}
