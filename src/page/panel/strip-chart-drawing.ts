import uPlot from 'uplot';
import { toDouble } from '../../base/rational.ts';
import { resolution } from '../../values/scale.ts';
import type { FloatType, IntegerType } from '../../values/type.ts';
import { boardMs, onBatch, type ValueSides } from '../stores/values.ts';
import { calmSpan, drawnSamples, type Drawn, type Span } from './chart-window.ts';
import { presenting } from '../stores/view.ts';
import { inks, onPrinting, wantsStill } from './inks.ts';

const nothing: Drawn = { times: [], values: [] };
/** Steps of the coding that the smallest span shows. */
const leastSteps = 40;
/** Room for the pens at the right edge, CSS pixels. */
const penRoom = 14;

/**
 * Draws a strip chart into an element, some 20 times a second and as wide as the element is. The board's line and the
 * air's dots are thinned to what the pixels can show.
 *
 * @param seconds of the window
 * @returns how to stop
 */
export function drawStripChart(
  place: HTMLElement,
  sides: ValueSides,
  type: IntegerType | FloatType,
  seconds: number,
): () => void {
  const { traces, definition } = sides;
  if (traces === undefined) return () => undefined;
  const sampled = definition.notify?.on.kind === 'every';
  const step = resolution(type);
  const least = step === undefined ? Number.MIN_VALUE : leastSteps * toDouble(step);
  const limits =
    type.range === undefined ? undefined : { min: toDouble(type.range.min), max: toDouble(type.range.max) };
  // Read from the last row, or from the desk.
  const large = presenting.peek() ? 1.6 : 1;
  let now = boardMs.peek();
  let truth = nothing;
  let air = nothing;
  let span: Span | undefined;

  const marks = (plot: uPlot): void => {
    const { ctx, bbox } = plot;
    const size = devicePixelRatio;
    const dot = 1.8 * size * large;
    const at = (time: number, value: number): readonly [number, number] => [
      plot.valToPos(time, 'x', true),
      plot.valToPos(value, 'y', true),
    ];
    ctx.save();
    const mark = dotOf(inks().air, dot);
    air.times.forEach((time, i) => {
      const [x, y] = at((time - now) / 1000, air.values[i] ?? Number.NaN);
      if (x >= bbox.left && Number.isFinite(y)) ctx.drawImage(mark, x - mark.width / 2, y - mark.height / 2);
    });
    const held = truth.values.at(-1);
    if (held !== undefined && Number.isFinite(held)) {
      const [x, y] = at(0, held);
      ctx.fillStyle = inks().board;
      ctx.fillRect(x + 2 * size, y - 4 * size, 8 * size, 8 * size);
    }
    ctx.restore();
  };

  const axis = { stroke: () => inks().soft, grid: { stroke: () => inks().hair, width: 1 }, ticks: { show: false } };
  const font = `${Math.round(11 * large)}px "IBM Plex Sans", system-ui, sans-serif`;
  const plot = new uPlot(
    {
      width: Math.max(80, place.clientWidth),
      height: Math.max(60, place.clientHeight),
      padding: [6 * large ** 2, penRoom * large, 0, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: { time: false, range: () => [-seconds, 0] },
        y: { range: () => (span === undefined ? [0, 1] : [span.min, span.max]) },
      },
      axes: [
        {
          ...axis,
          font,
          size: 22 * large,
          gap: 4,
          space: 60,
          incrs: [5, 10, 30],
          values: (_, at) => at.map((x) => (x === 0 ? 'now' : `${minus(x)} s`)),
        },
        { ...axis, font, size: 58 * large, gap: 6, space: 28 * large, values: (_, at) => labels(at) },
      ],
      series: [
        {},
        {
          stroke: () => inks().board,
          width: 1.5,
          points: { show: false },
          ...(sampled || uPlot.paths.stepped === undefined ? {} : { paths: uPlot.paths.stepped({ align: 1 }) }),
        },
      ],
      hooks: { draw: [marks] },
    },
    [[], []],
    place,
  );

  let drawnAt = Number.NEGATIVE_INFINITY;
  const draw = (): void => {
    frame = undefined;
    drawnAt = performance.now();
    const from = now - 1000 * seconds;
    const columns = Math.max(50, plot.width - 70);
    truth = drawnSamples(traces.truth, from, now, columns, true);
    air = drawnSamples(traces.air, from, now, columns / 2, false);
    span = calmSpan(span, [...truth.values, ...air.values].filter(Number.isFinite), least, limits);
    const values = truth.values.map((value) => (Number.isNaN(value) ? null : value));
    plot.setData([truth.times.map((time) => (time - now) / 1000), values]);
  };
  let frame: number | undefined;
  const still = wantsStill();
  // A chart that is scrolled away waits until it is seen again.
  let visible = true;
  const seen = new IntersectionObserver((entries) => {
    visible = entries.at(-1)?.isIntersecting ?? true;
    if (visible) frame ??= requestAnimationFrame(draw);
  });
  seen.observe(place);
  const stopListening = onBatch((news) => {
    now = news.boardMs;
    if (!visible) return;
    // Drawn again when it has moved by a pixel; once a second for who wants nothing to move.
    const pause = still ? 1000 : (1000 * seconds) / plot.width;
    if (performance.now() - drawnAt < pause) return;
    frame ??= requestAnimationFrame(draw);
  });
  const stopPrinting = onPrinting(draw);
  const sizes = new ResizeObserver(() => {
    if (place.clientWidth > 0) plot.setSize({ width: place.clientWidth, height: Math.max(60, place.clientHeight) });
  });
  sizes.observe(place);
  return () => {
    stopListening();
    stopPrinting();
    seen.disconnect();
    sizes.disconnect();
    if (frame !== undefined) cancelAnimationFrame(frame);
    plot.destroy();
  };
}

let dotKnown: { readonly key: string; readonly image: OffscreenCanvas } | undefined;

/** A dot to be stamped: hundreds of them as one path take much longer to fill. */
function dotOf(colour: string, radius: number): OffscreenCanvas {
  const key = `${colour} ${radius}`;
  if (dotKnown?.key === key) return dotKnown.image;
  const size = Math.ceil(2 * radius) + 1;
  const image = new OffscreenCanvas(size, size);
  const ctx = image.getContext('2d');
  if (ctx !== null) {
    ctx.fillStyle = colour;
    ctx.beginPath();
    ctx.arc(size / 2, size / 2, radius, 0, 2 * Math.PI);
    ctx.fill();
  }
  dotKnown = { key, image };
  return image;
}

/** All with as many places as their distance needs. */
function labels(at: readonly number[]): string[] {
  const step = Math.abs((at[1] ?? 1) - (at[0] ?? 0));
  let places = 0;
  while (places < 9 && Math.abs(step * 10 ** places - Math.round(step * 10 ** places)) > 1e-6) places += 1;
  return at.map((value) => minus(Math.abs(value) < step / 2 ? 0 : value, places));
}

function minus(value: number, places = 0): string {
  return value.toFixed(places).replace('-', '−');
}
