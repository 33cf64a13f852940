import { computed, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { comparedText, timeText } from '../../budget/budget-text.ts';
import type { Delay, Marks } from '../../budget/delay/delays.ts';
import { linearAxis, timeUnit } from './axis.ts';
import { EncryptionChoice, LossDial, PhyChoice, RadioDial } from './dials.tsx';
import { Axes, boxIn, Drawing, pathOf, PlotSheet, xAt, yAt } from './plot.tsx';
import { parts } from './reckoned.ts';

const chosenKey = signal<string | undefined>(undefined);
const delays = computed(() => parts.value.delay);

function keyOf({ id, from }: Delay): string {
  return `${from} ${id}`;
}

function nameOf({ id, from }: Delay): string {
  return from === 'change' ? `${id}: change to notification` : `${id}: write to board`;
}

/** How long a value takes to the other side, as a distribution: the link alone, with its policy, and with all else on the link. */
export function DelayPlot(): JSX.Element | null {
  const found = delays.value;
  if (found === undefined) return null;
  const { values } = found;
  const chosen =
    values.find((value) => keyOf(value) === chosenKey.value) ??
    values.find(({ id }) => id === parts.value.link?.blame) ??
    values[0];
  return (
    <PlotSheet
      id="delay"
      title="Delay: how many have arrived by then"
      lead={chosen === undefined ? 'No value of this contract is notified or written.' : <Lead delay={chosen} />}
      basis={found.basis}
      inputs={
        <>
          <label class="budget-dial">
            <span class="budget-dial-label">Value</span>
            <select
              value={chosen === undefined ? '' : keyOf(chosen)}
              onChange={({ currentTarget }) => (chosenKey.value = currentTarget.value)}
            >
              {values.map((value) => (
                <option key={keyOf(value)} value={keyOf(value)}>
                  {nameOf(value)}
                </option>
              ))}
            </select>
          </label>
          <RadioDial of="interval" part="delay" />
          <RadioDial of="latency" part="delay" />
          <RadioDial of="timeout" part="delay" />
          <LossDial part="delay" />
          <PhyChoice part="delay" />
          <EncryptionChoice part="delay" />
        </>
      }
      table={<Table values={values} />}
    >
      {chosen !== undefined && chosen.fits && (
        <Drawing
          height={300}
          words={`Share of messages of ${chosen.id} that have arrived within a time: half within ${timeText(chosen.link.median)}, 95 % within ${timeText(chosen.link.p95)}`}
          draw={(width, height) => <Curves delay={chosen} width={width} height={height} />}
        />
      )}
      {chosen !== undefined && !chosen.fits && <p>▲ A packet of this value does not fit the connection interval.</p>}
      <p class="budget-key">
        <span class="budget-key-line" /> formula, link alone <span class="budget-key-dash" /> with the wait of its
        policy <span class="air-ink">●</span> run, all values on the link
      </p>
    </PlotSheet>
  );
}

function Lead({ delay }: { readonly delay: Delay }): JSX.Element {
  const { link, whole, hold, lost, endsInTimeout } = delay;
  return (
    <>
      {nameOf(delay)}: half within <strong>{timeText(link.median)}</strong>, 95 % within{' '}
      <strong>{timeText(link.p95)}</strong>, worst {timeText(link.worst)}.
      {hold.most > 0 && ` A change soon after another waits for its policy: worst ${timeText(whole.worst)}.`}
      {lost > 0 && ` ▲ ${lost} messages came and never left: more than the link carries.`}
      {endsInTimeout && ' ▲ The link is lost before the worst comes.'}
    </>
  );
}

function Curves({
  delay,
  width,
  height,
}: {
  readonly delay: Delay;
  readonly width: number;
  readonly height: number;
}): JSX.Element {
  const { curve, link } = delay;
  const most = curve.at(-1)?.timeUs ?? 1;
  const x = linearAxis(most, 0, width < 500 ? 4 : 8);
  const y = linearAxis(1, 0, 4);
  const box = boxIn(width, height);
  const unit = timeUnit(x.to);
  const line = (of: 'link' | 'whole'): string =>
    pathOf(curve.map((point) => [xAt(box, x, point.timeUs), yAt(box, y, point[of])]));
  const hasHold = delay.hold.most > 0;
  return (
    <g>
      <Axes
        box={box}
        x={x}
        y={y}
        xWords={`${unit.name} since ${delay.from === 'change' ? 'the change' : 'the write'}`}
        yWords="arrived"
        showX={(value) => String(Number((value / unit.per).toPrecision(3)))}
        showY={(value) => `${Math.round(100 * value)} %`}
      />
      {hasHold && <path class="budget-line budget-dashed" d={line('whole')} />}
      <path class="budget-line" d={line('link')} />
      {curve
        .filter((point, i) => i % 2 === 0 && Number.isFinite(point.loaded))
        .map(({ timeUs, loaded }) => (
          <circle key={timeUs} class="budget-air" cx={xAt(box, x, timeUs)} cy={yAt(box, y, loaded)} r={2.5} />
        ))}
      {(
        [
          ['half', link.median, 0.5],
          ['95 %', link.p95, 0.95],
        ] as const
      ).map(([name, time, share]) => (
        <g key={name}>
          <line
            class="budget-mark"
            x1={xAt(box, x, time)}
            x2={xAt(box, x, time)}
            y1={yAt(box, y, share)}
            y2={box.top + box.height}
          />
          <text x={xAt(box, x, time) + 8} y={yAt(box, y, share)} dy="1.3em">
            {name} {timeText(time)}
          </text>
        </g>
      ))}
    </g>
  );
}

function Table({ values }: { readonly values: readonly Delay[] }): JSX.Element {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Value</th>
          <th scope="col">Reckoned</th>
          <th scope="col">Best</th>
          <th scope="col">Median</th>
          <th scope="col">95 %</th>
          <th scope="col">Worst</th>
          <th scope="col">Mean</th>
        </tr>
      </thead>
      {values.map((value) => (
        <tbody key={keyOf(value)}>
          <tr>
            <th scope="rowgroup" rowSpan={value.hold.most > 0 ? 3 : 2}>
              {nameOf(value)}
            </th>
            <td>link alone</td>
            <MarkCells marks={value.link} />
            <td>{comparedText(value.mean, timeText)}</td>
          </tr>
          {value.hold.most > 0 && (
            <tr>
              <td>with its policy, up to {timeText(value.hold.most)}</td>
              <MarkCells marks={value.whole} />
              <td />
            </tr>
          )}
          <tr>
            <td>run, all on the link</td>
            <MarkCells marks={value.loaded} />
            <td>{comparedText(value.loaded.mean, timeText)}</td>
          </tr>
        </tbody>
      ))}
    </table>
  );
}

function MarkCells({ marks }: { readonly marks: Marks }): JSX.Element {
  return (
    <>
      <td class="budget-short">{timeText(marks.best)}</td>
      <td class="budget-short">{timeText(marks.median)}</td>
      <td class="budget-short">{timeText(marks.p95)}</td>
      <td class="budget-short">{timeText(marks.worst)}</td>
    </>
  );
}
