import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { us } from '../../base/quantity.ts';
import { comparedText, percentText, three, timeText } from '../../budget/budget-text.ts';
import type { Found } from '../../budget/found/found.ts';
import { scanPatterns } from '../../budget/found/scan.ts';
import { linearAxis, timeUnit } from './axis.ts';
import { inSteps, type Course } from './course.ts';
import { Dial } from './dial.tsx';
import { RadioDial } from './dials.tsx';
import { Axes, boxIn, Drawing, pathOf, PlotSheet, xAt, yAt } from './plot.tsx';
import { lookAt, parts } from './reckoned.ts';
import { surround, surroundings } from './tried.ts';

const found = computed(() => parts.value.found);

/** Scan times go in steps of 0.625 ms, 2.5 ms to 40.959375 s. Core Vol 4 Part E 7.8.10 and 7.8.64. */
const scanCourse: Course = { from: 2_500, to: 10_240_000, kind: 'log', round: inSteps(625) };

/** How soon a board is found after it is switched on. */
export function FoundPlot(): JSX.Element | null {
  const part = found.value;
  const [one] = part?.patterns ?? [];
  if (part === undefined || one === undefined) return null;
  const { mean, p95, bound, resonance, coverage } = one;
  return (
    <PlotSheet
      id="found"
      title="Being found: how many boards have been heard by then"
      lead={
        <>
          From power-on to the first packet heard: on average <strong>{timeText(mean.closed)}</strong>, 95 % within{' '}
          <strong>{timeText(p95)}</strong>
          {bound === undefined ? '; no time is sure.' : `, all within ${timeText(bound)}.`}
          {resonance !== undefined && (
            <>
              {' '}
              ▲ The interval keeps step with the windows: {three(resonance.factor)} times as many events are missed as
              by chance.
              {resonance.better !== undefined && ` ${timeText(resonance.better)} is found sooner.`}
            </>
          )}
        </>
      }
      basis={part.basis}
      inputs={
        <>
          <RadioDial of="advertising" part="found" />
          <ScanDials />
        </>
      }
      table={
        <table>
          <tbody>
            <tr>
              <th scope="row">Scanner</th>
              <td>
                {one.pattern.name}: window {timeText(one.pattern.window)} of {timeText(one.pattern.interval)};{' '}
                {one.pattern.source}
              </td>
            </tr>
            <tr>
              <th scope="row">An event is heard at a random moment</th>
              <td>{percentText(coverage)}</td>
            </tr>
            <tr>
              <th scope="row">Mean</th>
              <td>{comparedText(mean, timeText)}</td>
            </tr>
            <tr>
              <th scope="row">Median, 95 %, 99.9 % of the run</th>
              <td>
                {timeText(one.median)}, {timeText(p95)}, {timeText(one.p999)}
              </td>
            </tr>
            <tr>
              <th scope="row">Not found in the run</th>
              <td>{one.gaveUp} of 500</td>
            </tr>
          </tbody>
        </table>
      }
    >
      <Drawing
        height={300}
        words={`Share of boards heard within a time: mean ${timeText(mean.closed)}, 95 % within ${timeText(p95)}`}
        draw={(width, height) => <Curves one={one} width={width} height={height} />}
      />
      <p class="budget-key">
        <span class="budget-key-line" /> analysis, event by event <span class="air-ink">●</span> run, 500 boards
      </p>
    </PlotSheet>
  );
}

function Curves({
  one,
  width,
  height,
}: {
  readonly one: Found;
  readonly width: number;
  readonly height: number;
}): JSX.Element {
  const { curve, closedCurve, mean, p95 } = one;
  const most = Math.max(p95 * 1.4, mean.closed * 1.4, 1000);
  const end = Number.isFinite(most) ? most : 60_000_000;
  const x = linearAxis(end, 0, width < 500 ? 4 : 8);
  const y = linearAxis(1, 0, 4);
  const box = boxIn(width, height);
  const unit = timeUnit(x.to);
  // A stair: the share rises with each event.
  const stairs: (readonly [number, number])[] = [[xAt(box, x, 0), yAt(box, y, 0)]];
  for (const { timeUs, share } of closedCurve) {
    const at = xAt(box, x, timeUs);
    stairs.push([at, stairs.at(-1)?.[1] ?? 0], [at, yAt(box, y, share)]);
    if (timeUs > x.to) break;
  }
  stairs.push([box.left + box.width, stairs.at(-1)?.[1] ?? 0]);
  return (
    <g>
      <Axes
        box={box}
        x={x}
        y={y}
        xWords={`${unit.name} since power-on`}
        yWords="boards found"
        showX={(value) => String(Number((value / unit.per).toPrecision(3)))}
        showY={(value) => `${Math.round(100 * value)} %`}
      />
      <path class="budget-line" d={pathOf(stairs)} />
      {curve
        .filter(({ timeUs }) => timeUs <= x.to)
        .map(({ timeUs, share }) => (
          <circle key={share} class="budget-air" cx={xAt(box, x, timeUs)} cy={yAt(box, y, share)} r={2.5} />
        ))}
      {Number.isFinite(mean.closed) && (
        <g>
          <line
            class="budget-mark"
            x1={xAt(box, x, mean.closed)}
            x2={xAt(box, x, mean.closed)}
            y1={box.top}
            y2={box.top + box.height}
          />
          <text x={xAt(box, x, mean.closed) + 5} y={box.top + box.height - 8}>
            mean {timeText(mean.closed)}
          </text>
        </g>
      )}
    </g>
  );
}

/** Presets, window and interval of the scanner; used for the room’s clients too. */
export function ScanDials(): JSX.Element {
  const { scan } = surroundings.value;
  const own = (window: number, interval: number): void => {
    surround({
      scan: { name: 'your own', window: us(Math.min(window, interval)), interval: us(interval), source: 'as set here' },
    });
  };
  return (
    <>
      <div class="budget-dial">
        <span class="budget-dial-label">Scanner, as in common practice</span>
        <span class="budget-presets">
          {scanPatterns.map((pattern) => (
            <button
              key={pattern.name}
              type="button"
              aria-pressed={pattern.name === scan.name}
              onClick={() => {
                lookAt('found');
                surround({ scan: pattern });
              }}
            >
              {pattern.name}
            </button>
          ))}
        </span>
      </div>
      <Dial
        label="Scan window"
        unit="ms"
        per={1000}
        value={scan.window}
        course={scanCourse}
        part="found"
        onChange={(window) => {
          own(scanCourse.round(window), Math.max(scan.interval, scanCourse.round(window)));
        }}
      />
      <Dial
        label="Scan interval"
        unit="ms"
        per={1000}
        value={scan.interval}
        course={scanCourse}
        part="found"
        onChange={(interval) => {
          own(scan.window, Math.max(2_500, scanCourse.round(interval)));
        }}
      />
    </>
  );
}
