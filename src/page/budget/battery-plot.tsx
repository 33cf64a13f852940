import { computed, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { lifeText, percentText, three } from '../../budget/budget-text.ts';
import type { Energy } from '../../budget/energy/energy.ts';
import { supplyPresets, type SupplyKey } from '../../budget/energy/supply.ts';
import { logAxis } from './axis.ts';
import { inDigits, type Course } from './course.ts';
import { Choice, Dial } from './dial.tsx';
import { RadioDial } from './dials.tsx';
import { figureWords } from './figure-words.ts';
import { Axes, boxIn, Drawing, PlotSheet, xAt } from './plot.tsx';
import { parts } from './reckoned.ts';
import { choosePreset, figure, surroundings } from './tried.ts';

const energy = computed(() => parts.value.energy);
const shownActivity = signal<Energy['activity']>('connected');
/** Bars of what to change first. */
const mostBars = 7;

const amount = (from: number, to: number): Course => ({ from, to, kind: 'log', round: inDigits(3) });
/** Figures that stand open; the rest are in the table of figures. */
const dialled: readonly (readonly [SupplyKey, Course])[] = [
  ['sleepUa', amount(0.1, 1000)],
  ['transmitMa', amount(0.5, 100)],
  ['receiveMa', amount(0.5, 100)],
  ['cpuPerEventUs', amount(10, 20_000)],
  ['otherUa', { from: 0, to: 50_000, kind: 'linear', round: inDigits(3) }],
  ['capacityMah', amount(10, 10_000)],
  ['usable', { from: 0.1, to: 1, kind: 'linear', round: inDigits(2) }],
];

/** Life of the cell as a range, where the current goes, and what to change first. */
export function BatteryPlot(): JSX.Element | null {
  const part = energy.value;
  if (part === undefined) return null;
  const shown = shownActivity.value === 'connected' ? part.connected : part.advertising;
  const preset = supplyPresets.find(({ name }) => name === surroundings.value.preset);
  return (
    <PlotSheet
      id="battery"
      title="Charge: how long a cell lasts"
      lead={
        <>
          Connected all the time: <strong>{lifeText(part.connected.lifeHours.likely)}</strong> (
          {lifeText(part.connected.lifeHours.low)} to {lifeText(part.connected.lifeHours.high)}); advertising all the
          time: <strong>{lifeText(part.advertising.lifeHours.likely)}</strong>. Figures: {preset?.about ?? 'your own'}.
        </>
      }
      basis={part.basis}
      inputs={
        <>
          <label class="budget-dial">
            <span class="budget-dial-label">Begin with</span>
            <select
              value={surroundings.value.preset}
              onChange={({ currentTarget }) => {
                choosePreset(currentTarget.value);
              }}
            >
              {supplyPresets.map(({ name }) => (
                <option key={name} value={name}>
                  {name}, invented
                </option>
              ))}
            </select>
          </label>
          {dialled.map(([key, course]) => (
            <Dial
              key={key}
              label={figureWords[key].name}
              unit={figureWords[key].unit}
              value={surroundings.value.supply[key].likely}
              per={key === 'usable' ? 0.01 : 1}
              course={course}
              part="energy"
              onChange={(value) => {
                figure(
                  key,
                  key === 'usable'
                    ? Math.min(1, Math.max(0.01, value))
                    : key === 'capacityMah'
                      ? Math.max(1, value)
                      : value,
                );
              }}
            />
          ))}
          <RadioDial of="interval" part="energy" />
          <RadioDial of="latency" part="energy" />
          <RadioDial of="advertising" part="energy" />
        </>
      }
      table={<Table part={part} />}
    >
      <Drawing
        height={150}
        words={`Life of the cell: connected ${lifeText(part.connected.lifeHours.likely)}, advertising ${lifeText(part.advertising.lifeHours.likely)}`}
        draw={(width, height) => (
          <Lives advertising={part.advertising} connected={part.connected} width={width} height={height} />
        )}
      />
      <Choice
        label="Below: the board is"
        words={['connected', 'advertising']}
        chosen={shown.activity}
        part="energy"
        onChoose={(word) => (shownActivity.value = word)}
      />
      <div class="budget-halves">
        <Currents shown={shown} />
        <Sensitivity shown={shown} />
      </div>
      <ul class="budget-advice">
        {shown.caveats.map((caveat) => (
          <li key={caveat}>▲ {caveat.replace('`otherUa`', `“${figureWords.otherUa.name}”`)}</li>
        ))}
      </ul>
    </PlotSheet>
  );
}

function Lives(props: {
  readonly advertising: Energy;
  readonly connected: Energy;
  readonly width: number;
  readonly height: number;
}): JSX.Element {
  const { advertising, connected, width, height } = props;
  const days = (hours: number): number => Math.min(1e5, Math.max(hours / 24, 0.01));
  const all = [advertising, connected].flatMap(({ lifeHours }) => [days(lifeHours.low), days(lifeHours.high)]);
  const x = logAxis(Math.min(...all), Math.max(...all));
  const box = { ...boxIn(width, height, 92), top: 6, height: height * 0.6 };
  const lane = box.height / 2;
  return (
    <g>
      <Axes box={box} x={x} xWords="days" showX={(value) => String(value)} />
      {[connected, advertising].map(({ activity, lifeHours }, i) => {
        const y = box.top + 6 + i * lane;
        const low = xAt(box, x, days(lifeHours.low));
        const high = xAt(box, x, days(lifeHours.high));
        const likely = xAt(box, x, days(lifeHours.likely));
        return (
          <g key={activity}>
            <text x={box.left - 8} y={y + lane / 2 - 6} text-anchor="end" dominant-baseline="middle">
              {activity}
            </text>
            <rect class="budget-range" x={low} y={y} width={Math.max(2, high - low)} height={lane - 12} />
            <line class="budget-likely" x1={likely} x2={likely} y1={y - 3} y2={y + lane - 9} />
          </g>
        );
      })}
    </g>
  );
}

const partNames: Readonly<Record<keyof Energy['parts'], string>> = {
  sleep: 'asleep',
  radioStart: 'radio starting',
  transmit: 'transmitting',
  receive: 'receiving',
  processor: 'processor',
  sensor: 'sensors',
  other: 'all else',
};

function Currents({ shown }: { readonly shown: Energy }): JSX.Element {
  const all = (Object.keys(partNames) as (keyof Energy['parts'])[])
    .map((key) => ({ key, current: shown.parts[key] }))
    .sort((a, b) => b.current - a.current);
  const total = all.reduce((sum, { current }) => sum + current, 0);
  const most = Math.max(1e-9, all[0]?.current ?? 0);
  return (
    <div>
      <h3>Where {three(total)} µA go</h3>
      <ul class="budget-bars">
        {all.map(({ key, current }) => (
          <li key={key}>
            <span class="budget-bar-name">{partNames[key]}</span>
            <span class="budget-bar-place">
              <span class="budget-bar" style={{ width: `${(100 * current) / most}%` }} />
            </span>
            <span class="budget-bar-words">
              {three(current)} µA, {percentText(total === 0 ? 0 : current / total)}
            </span>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** Bars from life at the figure’s low end to life at its high end, around the likely life. */
function Sensitivity({ shown }: { readonly shown: Energy }): JSX.Element {
  const bars = shown.sensitivity.slice(0, mostBars);
  const ends = bars.flatMap(({ atLow, atHigh }) => [atLow, atHigh]);
  const low = Math.min(...ends, shown.lifeHours.likely);
  const high = Math.max(...ends, shown.lifeHours.likely);
  const place = (hours: number): number => (high > low ? (100 * (hours - low)) / (high - low) : 50);
  return (
    <div>
      <h3>What to change first</h3>
      <ul class="budget-bars budget-tornado">
        {bars.map(({ key, atLow, atHigh }) => {
          const from = Math.min(place(atLow), place(atHigh));
          const to = Math.max(place(atLow), place(atHigh));
          return (
            <li key={key}>
              <span class="budget-bar-name">{figureWords[key].name}</span>
              <span class="budget-bar-place">
                <span class="budget-bar" style={{ marginLeft: `${from}%`, width: `${Math.max(0.5, to - from)}%` }} />
                <span class="budget-bar-likely" style={{ left: `${place(shown.lifeHours.likely)}%` }} />
              </span>
              <span class="budget-bar-words">
                {lifeText(Math.min(atLow, atHigh))} to {lifeText(Math.max(atLow, atHigh))}
              </span>
            </li>
          );
        })}
      </ul>
    </div>
  );
}

function Table({ part }: { readonly part: { readonly advertising: Energy; readonly connected: Energy } }): JSX.Element {
  const { supply } = surroundings.value;
  return (
    <>
      <table>
        <thead>
          <tr>
            <th scope="col">All the time</th>
            <th scope="col">Mean current, µA</th>
            <th scope="col">Peak, mA</th>
            <th scope="col">Life</th>
          </tr>
        </thead>
        <tbody>
          {[part.connected, part.advertising].map(({ activity, meanUa, peakMa, lifeHours }) => (
            <tr key={activity}>
              <th scope="row">{activity}</th>
              <td>
                {three(meanUa.likely)} ({three(meanUa.low)} to {three(meanUa.high)})
              </td>
              <td>{three(peakMa.high)}</td>
              <td>
                {lifeText(lifeHours.likely)} ({lifeText(lifeHours.low)} to {lifeText(lifeHours.high)})
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <table>
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col">Low</th>
            <th scope="col">Likely</th>
            <th scope="col">High</th>
            <th scope="col">Unit</th>
          </tr>
        </thead>
        <tbody>
          {(Object.keys(supply) as SupplyKey[]).map((key) => (
            <tr key={key}>
              <th scope="row">{figureWords[key].name}</th>
              {([supply[key].low, supply[key].likely, supply[key].high] as const).map((value, i) => (
                <td key={i}>{three(figureWords[key].unit === '%' ? 100 * value : value)}</td>
              ))}
              <td>{figureWords[key].unit}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
