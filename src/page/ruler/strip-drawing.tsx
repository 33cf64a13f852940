import type { JSX } from 'preact';
import { laneLabels } from './label-lanes.ts';
import { spansOfRow, type Cell, type RowSpan, type Strip } from './strip.ts';

/** Which side's octets are drawn: `board` what it holds, `air` what crossed, `none` for a form without values. */
export type Ink = 'board' | 'air' | 'none';

export type StripDrawingProps = {
  readonly strip: Strip;
  /** Cells a row, and width of one in pixels. */
  readonly perRow: number;
  readonly octet: number;
  readonly ink: Ink;
  /** Whether single bits are drawn under the octets. */
  readonly bits: boolean;
  /** Whether labels stand under the spans. */
  readonly labels: boolean;
  /** What the drawing says, for who does not see it. */
  readonly words: string;
};

/** Places of one row from its top, in pixels. */
const top = { index: 9, cell: 13, hex: 28, tape: 34 } as const;
const tapeHeight = 11;
const lineHeight = 13;
/** Advance of one character, pixels: labels at 11 px in Plex Sans, codings at 10 px in Plex Mono. */
const advance = { label: 5.7, detail: 6.05 } as const;
const mostCharacters = 48;

/** A strip to scale, wrapped into rows: octets with their index, bits, and the fields under braces. */
export function StripDrawing(props: StripDrawingProps): JSX.Element {
  const { strip, perRow, octet, ink, words } = props;
  const rows = Math.max(1, Math.ceil(strip.cells.length / perRow));
  const drawn = Array.from({ length: rows }, (_, row) => rowParts(props, row));
  const width = Math.max(...drawn.map((row) => row.width));
  let y = 0;
  return (
    <svg
      class={`ruler ruler-${ink}`}
      role="img"
      aria-label={words}
      width={width}
      viewBox={`0 0 ${width} ${drawn.reduce((sum, { height }) => sum + height, 0)}`}
    >
      {drawn.map((part, row) => {
        const at = y;
        y += part.height;
        return (
          <g key={row} transform={`translate(0.5 ${at + 0.5})`}>
            {strip.cells.slice(row * perRow, (row + 1) * perRow).map((cell, i) => (
              <CellDrawing key={i} cell={cell} x={i * octet} octet={octet} bits={props.bits} />
            ))}
            {part.shapes}
          </g>
        );
      })}
    </svg>
  );
}

type RowParts = { readonly width: number; readonly height: number; readonly shapes: JSX.Element };

function rowParts({ strip, perRow, octet, bits, labels }: StripDrawingProps, row: number): RowParts {
  const cells = Math.min(perRow, strip.cells.length - row * perRow);
  const bit = octet / 8;
  const spans = spansOfRow(strip, row, perRow);
  const braceTop = (bits ? top.tape + tapeHeight : top.tape) + (labels ? 3 : 0);
  const numbers = bits && labels;
  const named = labels ? spans.filter(({ span, opens }) => opens && linesOf(span, bit).length > 0) : [];
  const texts = named.map(({ span, start }) => ({ x: start * bit, lines: linesOf(span, bit), span }));
  const sized = texts.map(({ x, lines }) => ({ x, width: Math.max(...lines.map((line) => line.width)) }));
  const room = Math.max(perRow * octet, ...sized.map(({ width }) => width));
  const lanes = laneLabels(sized, room, 6);
  const tallest = texts.map(({ lines }) => lines.length);
  const laneHeights: number[] = [];
  lanes.forEach(({ lane }, i) => {
    laneHeights[lane] = Math.max(laneHeights[lane] ?? 0, (tallest[i] ?? 0) * lineHeight + 3);
  });
  const labelTop = braceTop + (numbers ? 10 : 0) + 9;
  const laneTop = (lane: number): number =>
    labelTop + laneHeights.slice(0, lane).reduce((sum, height) => sum + height, 0);
  const right = Math.max(cells * octet, ...lanes.map(({ x }, i) => x + (sized[i]?.width ?? 0)));
  return {
    width: Math.ceil(right) + 1,
    height: labels ? laneTop(laneHeights.length) + 4 : braceTop + 6,
    shapes: (
      <>
        {spans.map((one, i) => (
          <SpanMarks key={i} one={one} bit={bit} bits={bits} labels={labels} braceTop={braceTop} numbers={numbers} />
        ))}
        {texts.map(({ x, lines, span }, i) => {
          const placed = lanes[i];
          if (placed === undefined) return null;
          const y = laneTop(placed.lane);
          return (
            <g key={i}>
              {placed.lane > 0 ? <path class="ruler-leader" d={`M${x + 1.5} ${labelTop - 6}V${y + 2}`} /> : null}
              {lines.map((line, n) => (
                <text
                  key={n}
                  class={`ruler-${line.kind}`}
                  x={placed.x + (placed.lane > 0 ? 5 : 0)}
                  y={y + 9 + n * lineHeight}
                >
                  {line.label}
                  {line.value === '' ? null : <tspan class="ruler-value">{line.value}</tspan>}
                </text>
              ))}
              <title>
                {[span.words.name, span.words.coding, span.words.place].filter((word) => word !== '').join(', ')}
              </title>
            </g>
          );
        })}
      </>
    ),
  };
}

type Line = {
  readonly kind: 'label' | 'detail';
  readonly label: string;
  readonly value: string;
  readonly width: number;
};

/** Name and value on one line; on two where only that keeps them within the span. */
function linesOf(span: RowSpan['span'], bit: number): readonly Line[] {
  const lines: Line[] = [];
  const label = shortened(span.label, mostCharacters);
  const value = shortened(span.value, mostCharacters - label.length);
  if (label !== '' || value !== '') {
    const between = label !== '' && value !== '' ? ' ' : '';
    const whole = { kind: 'label', label: label + between, value, width: widthOf(label + between + value) } as const;
    const apart = [
      { kind: 'label', label, value: '', width: widthOf(label) },
      { kind: 'label', label: '', value, width: widthOf(value) },
    ] as const;
    const fits = (width: number): boolean => width <= span.length * bit;
    const stacks = between !== '' && !fits(whole.width) && apart.every(({ width }) => fits(width));
    lines.push(...(stacks && fits(span.detail.length * advance.detail) ? apart : [whole]));
  }
  if (span.detail !== '') {
    lines.push({ kind: 'detail', label: span.detail, value: '', width: span.detail.length * advance.detail + 4 });
  }
  return lines;
}

function widthOf(label: string): number {
  return label.length * advance.label + 2;
}

function shortened(text: string, most: number): string {
  const characters = Array.from(text);
  return characters.length > most ? `${characters.slice(0, Math.max(1, most - 1)).join('')}…` : text;
}

function CellDrawing(props: {
  readonly cell: Cell;
  readonly x: number;
  readonly octet: number;
  readonly bits: boolean;
}): JSX.Element {
  const { cell, x, octet, bits } = props;
  const middle = x + octet / 2;
  const height = top.tape - top.cell;
  if (cell.kind === 'break') {
    const bottom = bits ? top.tape + tapeHeight : top.tape;
    return (
      <g>
        <path class="ruler-rule" d={`M${x} ${top.cell}H${x + octet}M${x} ${bottom}H${x + octet}`} />
        <path
          class="ruler-torn"
          d={`M${x + 3} ${bottom + 3}L${x + 7} ${top.cell - 3}M${x + octet - 7} ${bottom + 3}L${x + octet - 3} ${top.cell - 3}`}
        />
        <text class="ruler-hex ruler-soft" x={middle} y={top.hex} text-anchor="middle">
          {cell.words}
        </text>
      </g>
    );
  }
  const { index, value, glyph, optional, frames } = cell;
  return (
    <g>
      <text class="ruler-number" x={middle} y={top.index} text-anchor="middle">
        {index}
      </text>
      <rect
        class={optional ? 'ruler-cell ruler-optional' : 'ruler-cell'}
        x={x}
        y={top.cell}
        width={octet}
        height={height}
      />
      {value === undefined ? null : (
        <text class={frames ? 'ruler-hex ruler-frames' : 'ruler-hex'} x={middle} y={top.hex} text-anchor="middle">
          {value.toString(16).toUpperCase().padStart(2, '0')}
        </text>
      )}
      {bits ? <Tape x={x} bit={octet / 8} value={value} glyph={glyph} optional={optional} /> : null}
    </g>
  );
}

/** The bits of an octet, the least significant on the left; the character instead where it is one of a text. */
function Tape(props: {
  readonly x: number;
  readonly bit: number;
  readonly value: number | undefined;
  readonly glyph: string | undefined;
  readonly optional: boolean;
}): JSX.Element {
  const { x, bit, value, glyph, optional } = props;
  const set = [0, 1, 2, 3, 4, 5, 6, 7].filter(
    (n) => value !== undefined && glyph === undefined && ((value >> n) & 1) === 1,
  );
  const between = [1, 2, 3, 4, 5, 6, 7].map((n) => `M${x + n * bit} ${top.tape}v${tapeHeight}`).join('');
  return (
    <>
      <rect
        class={optional ? 'ruler-cell ruler-optional' : 'ruler-cell'}
        x={x}
        y={top.tape}
        width={8 * bit}
        height={tapeHeight}
      />
      {glyph === undefined ? <path class="ruler-rule" d={between} /> : null}
      {set.length === 0 ? null : (
        <path
          class="ruler-set"
          d={set.map((n) => `M${x + n * bit + 1} ${top.tape + 1.5}h${bit - 2}v${tapeHeight - 3}h${2 - bit}z`).join('')}
        />
      )}
      {glyph === undefined ? null : (
        <text class="ruler-glyph" x={x + 4 * bit} y={top.tape + 8.5} text-anchor="middle">
          {glyph}
        </text>
      )}
    </>
  );
}

function SpanMarks(props: {
  readonly one: RowSpan;
  readonly bit: number;
  readonly bits: boolean;
  readonly labels: boolean;
  readonly braceTop: number;
  readonly numbers: boolean;
}): JSX.Element | null {
  const { one, bit, bits, labels, braceTop, numbers } = props;
  const { span, start, end, opens, closes } = one;
  const from = start * bit;
  const to = end * bit;
  const bottom = bits ? top.tape + tapeHeight : top.tape;
  const edge = bits ? top.tape - 2 : top.cell;
  if (span.kind === 'unused') {
    return <path class="ruler-unused" d={hatched(from, to, bits ? top.tape : top.cell, bottom)} />;
  }
  if (span.kind === 'break') return null;
  const numbersY = braceTop + 7;
  const last = numbers && span.numbered && closes ? span.length - 1 : undefined;
  return (
    <>
      {closes ? <path class="ruler-edge" d={`M${to} ${edge}V${bottom + 3}`} /> : null}
      {opens ? <path class="ruler-edge" d={`M${from} ${edge}V${bottom + 3}`} /> : null}
      {numbers && span.numbered && opens ? (
        <text class="ruler-number ruler-first" x={from + 2.5} y={numbersY}>
          0
        </text>
      ) : null}
      {last !== undefined && last > 0 && to - from >= 18 ? (
        <text class="ruler-number" x={to - 2.5} y={numbersY} text-anchor="end">
          {last}
        </text>
      ) : null}
      {labels ? (
        <path class="ruler-brace" d={brace(from + 1, to - 1, braceTop + (numbers ? 10 : 0), opens, closes)} />
      ) : null}
    </>
  );
}

/** A brace that opens upwards, with its point near the left end, where the label begins; open ends run on flat. */
function brace(from: number, to: number, y: number, opens: boolean, closes: boolean): string {
  const curl = Math.min(3, (to - from) / 4);
  const left = opens ? `M${from} ${y}q0 ${curl} ${curl} ${curl}` : `M${from} ${y + curl}`;
  const right = closes ? `H${to - curl}q${curl} 0 ${curl} ${-curl}` : `H${to}`;
  return left + right;
}

function hatched(from: number, to: number, y: number, bottom: number): string {
  const lines: string[] = [];
  const height = bottom - y;
  for (let x = from - height; x < to; x += 4) {
    const start = Math.max(x, from);
    const end = Math.min(x + height, to);
    if (end > start) lines.push(`M${start} ${bottom - (start - x)}L${end} ${bottom - (end - x)}`);
  }
  return lines.join('');
}
