import { computed, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { showTime, us } from '../../base/quantity.ts';
import { comparedText, countText, percentText, three, timeText } from '../../budget/budget-text.ts';
import type { EventTrace } from '../../budget/link/link-run.ts';
import type { LinkReport } from '../../budget/link/link-report.ts';
import { linearAxis, timeUnit } from './axis.ts';
import { Dial } from './dial.tsx';
import { EncryptionChoice, LossDial, PhyChoice, RadioDial } from './dials.tsx';
import { Axes, Drawing, PlotSheet, xAt, type Box } from './plot.tsx';
import { offeredRates } from './rates.ts';
import { parts, tableNow } from './reckoned.ts';
import { tried, trySpacing } from './tried.ts';

/** The event that is drawn large; the fullest of those shown until somebody picks another. */
const picked = signal<number | undefined>(undefined);
const shownEvents = 12;

const link = computed(() => parts.value.link);

/** Use of the link: connection events as they follow each other, one of them large, and who takes how much. */
export function LinkPlot(): JSX.Element | null {
  const report = link.value;
  const table = tableNow.value;
  if (report === undefined || table === undefined) return null;
  const { demand, carries, blame, busyCompared } = report;
  return (
    <PlotSheet
      id="link"
      title="Use of the link: connection events to scale"
      lead={
        <>
          The declared rates take <strong>{percentText(demand)}</strong> of the time
          {carries ? '. They fit' : ': ▲ more than is sure to fit'}
          {blame === undefined ? '.' : `; ${blame} takes the most.`}
        </>
      }
      basis={report.basis}
      inputs={
        <>
          <RadioDial of="interval" part="link" />
          <RadioDial of="mtu" part="link" />
          <RadioDial of="dataLength" part="link" />
          <PhyChoice part="link" />
          <EncryptionChoice part="link" />
          <LossDial part="link" />
          <Rates report={report} />
        </>
      }
      table={
        <>
          <table>
            <thead>
              <tr>
                <th scope="col">Value</th>
                <th scope="col">Sent as</th>
                <th scope="col">Octets</th>
                <th scope="col">Every</th>
                <th scope="col">Packet pairs</th>
                <th scope="col">Time on the air</th>
                <th scope="col">Share</th>
                <th scope="col">Fit one event</th>
              </tr>
            </thead>
            <tbody>
              {report.streams.map((stream, i) => (
                <tr key={stream.id}>
                  <th scope="row">{stream.id}</th>
                  <td>{stream.kind}</td>
                  <td>{stream.sent === stream.octets ? stream.octets : `${stream.sent} of ${stream.octets}`}</td>
                  <td>{timeText(stream.spacingUs)}</td>
                  <td>{stream.packets}</td>
                  <td>{timeText(stream.timeUs)}</td>
                  <td>{percentText(stream.share)}</td>
                  <td>{three(report.perEvent[i]?.messages ?? 0)}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p>
            Busy with polls: {comparedText(busyCompared, percentText)}. The board’s queue must hold{' '}
            {countText(report.queuePackets, 'packet')}; the run saw {countText(report.longestQueue, 'message')} wait.
            Smallest MTU that cuts nothing: {report.smallestMtu}.{' '}
            {report.intervals === undefined
              ? 'No connection interval carries these rates.'
              : `Connection intervals from ${timeText(report.intervals.shortest)} to ${timeText(report.intervals.longest)} carry them.`}
          </p>
        </>
      }
    >
      <Timeline trace={report.trace} interval={table.radio.connection.interval.max} />
      <Shares report={report} />
      {report.advice.length > 0 && (
        <ul class="budget-advice">
          {report.advice.map((advice) => (
            <li key={advice}>▲ {advice.replaceAll('`', '')}</li>
          ))}
        </ul>
      )}
    </PlotSheet>
  );
}

/** The rate of each value, to be tried. */
function Rates({ report }: { readonly report: LinkReport }): JSX.Element {
  return (
    <details class="budget-rates">
      <summary>Rates of the values</summary>
      {report.streams.map(({ id, spacingUs }) => (
        <Dial
          key={id}
          label={`Rate of ${id}`}
          unit="Hz"
          value={1_000_000 / spacingUs}
          course={{ from: 0.01, to: 500, kind: 'log', round: nearestRate }}
          part="link"
          isTried={tried.value.spacings?.[id] !== undefined}
          onChange={(rate) => {
            if (rate > 0) trySpacing(id, us(Math.max(1000, Math.round(1_000_000 / rate))));
          }}
        />
      ))}
    </details>
  );
}

function nearestRate(rate: number): number {
  const off = (offered: number): number => Math.abs(Math.log(offered / rate));
  return offeredRates.reduce((best, each) => (off(each) < off(best) ? each : best));
}

function Timeline({
  trace,
  interval,
}: {
  readonly trace: readonly EventTrace[];
  readonly interval: number;
}): JSX.Element {
  const events = trace.slice(0, shownEvents);
  const fullest = events.reduce(
    (best, event, i) => (event.packets.length > (events[best]?.packets.length ?? 0) ? i : best),
    0,
  );
  const index = Math.min(picked.value ?? fullest, Math.max(0, events.length - 1));
  const event = events[index];
  const packets = event?.packets.length ?? 0;
  return (
    <figure class="budget-figure">
      <figcaption>
        {countText(events.length, 'connection event')}, {showTime(us(interval))} apart, to scale; below, event{' '}
        {index + 1} by itself. <span class="air-ink">● central</span> <span class="board-ink">■ board</span>, hollow:
        empty packet, ▲ lost
      </figcaption>
      <Drawing
        height={64}
        words={`${events.length} connection events on one line of time, ${interval / 1000} ms apart; packets fill little of it`}
        draw={(width, height) => (
          <Overview events={events} interval={interval} width={width} height={height} chosen={index} />
        )}
      />
      <label class="budget-event">
        Event shown large
        <input
          type="range"
          min={1}
          max={Math.max(1, events.length)}
          value={index + 1}
          onInput={({ currentTarget }) => (picked.value = Number(currentTarget.value) - 1)}
        />
        <output>{index + 1}</output>
      </label>
      <Drawing
        height={150}
        words={`Event ${index + 1} to scale: ${countText(packets, 'packet')}`}
        draw={(width, height) =>
          event === undefined ? null : <OneEvent event={event} interval={interval} width={width} height={height} />
        }
      />
    </figure>
  );
}

function Overview(props: {
  readonly events: readonly EventTrace[];
  readonly interval: number;
  readonly width: number;
  readonly height: number;
  readonly chosen: number;
}): JSX.Element {
  const { events, interval, width, height, chosen } = props;
  const middle = height / 2;
  const first = events[0]?.anchor ?? 0;
  const scale = (width - 2) / (Math.max(1, events.length) * interval);
  return (
    <g>
      <line class="budget-rule" x1={0} x2={width} y1={middle} y2={middle} />
      {events.map(({ anchor, packets }, i) => {
        const x = (anchor - first) * scale + 1;
        return (
          <g key={anchor}>
            {i === chosen && (
              <rect class="budget-chosen" x={x} y={2} width={Math.max(2, interval * scale - 1)} height={height - 4} />
            )}
            <line class="budget-tick" x1={x} x2={x} y1={middle - 6} y2={middle + 6} />
            {packets.map(({ start, time, from, payload, heard }) => (
              <rect
                key={start}
                class={packetClass(from, payload, heard)}
                x={(start - first) * scale + 1}
                width={Math.max(1, time * scale)}
                y={from === 'central' ? middle - 22 : middle}
                height={22}
              />
            ))}
          </g>
        );
      })}
    </g>
  );
}

function packetClass(from: 'central' | 'peripheral', payload: number, heard: boolean): string {
  const side = from === 'central' ? 'budget-air' : 'budget-board';
  return `${side}${payload === 0 ? ' budget-hollow' : ''}${heard ? '' : ' budget-lost'}`;
}

function OneEvent({
  event,
  interval,
  width,
  height,
}: {
  readonly event: EventTrace;
  readonly interval: number;
  readonly width: number;
  readonly height: number;
}): JSX.Element {
  const last = event.packets.at(-1);
  const end = last === undefined ? interval : last.start + last.time - event.anchor + 150;
  const axis = linearAxis(Math.min(interval, end * 1.05));
  const box: Box = { left: 8, top: 8, width: width - 24, height: height * 0.61 };
  const lane = box.height / 2 - 8;
  const unit = timeUnit(axis.to);
  return (
    <g>
      <Axes
        box={box}
        x={axis}
        xWords={`${unit.name} from the anchor point`}
        showX={(value) => String(Number((value / unit.per).toPrecision(3)))}
      />
      {event.packets.map(({ start, time, from, payload, heard }) => {
        const x = xAt(box, axis, start - event.anchor);
        const across = xAt(box, axis, start - event.anchor + time) - x;
        const y = box.top + (from === 'central' ? 4 : 4 + lane + 4);
        return (
          <g key={start}>
            <rect
              class={packetClass(from, payload, heard)}
              x={x}
              y={y}
              width={Math.max(1.5, across)}
              height={lane}
              rx={from === 'central' ? 3 : 0}
            />
            {across > 50 && (
              <text
                class="budget-packet-words"
                x={x + across / 2}
                y={y + lane / 2}
                text-anchor="middle"
                dominant-baseline="middle"
              >
                {heard ? '' : '▲ '}
                {payload === 0 ? 'empty' : `${payload} oct.`}
              </text>
            )}
          </g>
        );
      })}
    </g>
  );
}

/** Who takes how much of the time: bars from the same zero. */
function Shares({ report }: { readonly report: LinkReport }): JSX.Element {
  const most = Math.max(0.0001, ...report.streams.map(({ share }) => share));
  return (
    <ul class="budget-bars" aria-label="Share of the time by value">
      {report.streams.map(({ id, share, spacingUs }) => (
        <li key={id}>
          <span class="budget-bar-name mono">{id}</span>
          <span class="budget-bar-place">
            <span class="budget-bar" style={{ width: `${(100 * share) / most}%` }} />
          </span>
          <span class="budget-bar-words">
            {percentText(share)}, every {timeText(spacingUs)}
          </span>
        </li>
      ))}
    </ul>
  );
}
