import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { comparedText, percentText, three, timeText } from '../../budget/budget-text.ts';
import type { Budget } from '../../budget/budget.ts';
import { linearAxis, logAxis } from './axis.ts';
import { whole, type Course } from './course.ts';
import { Dial } from './dial.tsx';
import { RadioDial } from './dials.tsx';
import { ScanDials } from './found-plot.tsx';
import { Axes, boxIn, Drawing, pathOf, PlotSheet, xAt, yAt } from './plot.tsx';
import { parts } from './reckoned.ts';
import { surround, surroundings } from './tried.ts';

const room = computed(() => parts.value.room);
const mostBoards = 500;
const boardCourse: Course = { from: 1, to: mostBoards, kind: 'log', round: (value) => Math.max(1, whole(value)) };

/** What more and more boards in one room do to each other, and how to run so many. */
export function RoomPlot(): JSX.Element | null {
  const part = room.value;
  if (part === undefined) return null;
  const { question, survival, most, joined, plan } = part;
  return (
    <PlotSheet
      id="room"
      title="Room: what boards do to each other"
      lead={
        <>
          With {question.advertising} boards advertising a packet gets through in{' '}
          <strong>{percentText(survival.closed)}</strong>; up to <strong>{most.advertising}</strong> work. Switched on
          together, all are connected after <strong>{timeText(joined.all)}</strong>
          {joined.missing > 0 && ` (▲ ${joined.missing} never within ten minutes)`}.
        </>
      }
      basis={part.basis}
      inputs={
        <>
          <Dial
            label="Boards advertising"
            unit=""
            value={surroundings.value.advertising}
            course={boardCourse}
            part="room"
            onChange={(value) => {
              surround({ advertising: held(value) });
            }}
          />
          <Dial
            label="Boards connected"
            unit=""
            value={surroundings.value.connected}
            course={boardCourse}
            part="room"
            onChange={(value) => {
              surround({ connected: held(value) });
            }}
          />
          <RadioDial of="advertising" part="room" />
          <RadioDial of="interval" part="room" />
          <ScanDials />
        </>
      }
      table={<Table part={part} />}
    >
      <Drawing
        height={310}
        words={`Share of advertising packets that get through, by the number of boards: ${percentText(survival.closed)} with ${question.advertising}; ${most.advertising} boards are the most that work`}
        draw={(width, height) => <Curves part={part} width={width} height={height} />}
      />
      <p class="budget-key">
        <span class="budget-key-line" /> advertising packets, formula <span class="air-ink">●</span> the same, run{' '}
        <span class="budget-key-dash" /> connection events that meet no other
      </p>
      <div class="budget-plan">
        <h3>A plan for {question.advertising} boards</h3>
        <ul>
          <li>
            {plan.groups === 1
              ? 'Switch all boards on at once.'
              : `Switch on ${plan.groupSize} boards at a time, ${plan.groups} groups; the next when they are connected${plan.advertisingInterval === undefined ? '' : `. Or advertise every ${timeText(plan.advertisingInterval)}`}.`}
          </li>
          <li>
            Deal out connection intervals in turn: {plan.connectionIntervals.map((time) => timeText(time)).join(', ')}.
          </li>
          <li>
            {plan.names.length === 0
              ? '▲ All boards have one name: put {unit} into it, so that each can be told from its neighbours.'
              : `Names: ${plan.names.length <= 4 ? plan.names.join(', ') : `${plan.names[0] ?? ''}, ${plan.names[1] ?? ''} … ${plan.names.at(-1) ?? ''}`}.`}
          </li>
        </ul>
      </div>
    </PlotSheet>
  );
}

function held(value: number): number {
  return Math.min(mostBoards, Math.max(1, whole(value)));
}

function Curves({
  part,
  width,
  height,
}: {
  readonly part: Budget['room'];
  readonly width: number;
  readonly height: number;
}): JSX.Element {
  const { curve, question, most } = part;
  const x = logAxis(1, mostBoards);
  const y = linearAxis(1, 0, 4);
  const box = boxIn(width, height);
  const line = (of: (point: (typeof curve)[number]) => number): string =>
    pathOf(curve.map((point) => [xAt(box, x, point.boards), yAt(box, y, of(point))]));
  const here = xAt(box, x, question.advertising);
  return (
    <g>
      <Axes
        box={box}
        x={x}
        y={y}
        xWords="boards in the room"
        yWords="get through"
        showX={String}
        showY={(value) => `${Math.round(100 * value)} %`}
      />
      <line
        class="budget-limit"
        x1={box.left}
        x2={box.left + box.width}
        y1={yAt(box, y, question.survival)}
        y2={yAt(box, y, question.survival)}
      />
      <text x={box.left + 6} y={yAt(box, y, question.survival) + 16}>
        wanted: {percentText(question.survival)}, up to {most.advertising} boards
      </text>
      <path class="budget-line budget-dashed" d={line(({ collision }) => 1 - collision)} />
      <path class="budget-line" d={line(({ survival }) => survival)} />
      {curve.map(({ boards, survivalRun }) =>
        survivalRun === undefined ? null : (
          <circle key={boards} class="budget-air" cx={xAt(box, x, boards)} cy={yAt(box, y, survivalRun)} r={3.5} />
        ),
      )}
      <line class="budget-mark" x1={here} x2={here} y1={box.top} y2={box.top + box.height} />
      <text
        x={here + (here > box.left + box.width - 90 ? -5 : 5)}
        y={box.top + box.height - 8}
        text-anchor={here > box.left + box.width - 90 ? 'end' : 'start'}
      >
        {question.advertising} boards
      </text>
    </g>
  );
}

function Table({ part }: { readonly part: Budget['room'] }): JSX.Element {
  const { question, survival, collision, joined, curve } = part;
  return (
    <>
      <table>
        <tbody>
          <tr>
            <th scope="row">{question.advertising} advertise: a packet meets no other</th>
            <td>{comparedText(survival, percentText)}</td>
          </tr>
          <tr>
            <th scope="row">One advertising channel is filled</th>
            <td>{percentText(part.advertisingLoad)}</td>
          </tr>
          <tr>
            <th scope="row">{question.connected} connected: an event meets another</th>
            <td>{comparedText(collision, percentText)}</td>
          </tr>
          <tr>
            <th scope="row">Retransmissions an event for that</th>
            <td>{three(part.retransmissions)}</td>
          </tr>
          <tr>
            <th scope="row">One data channel is filled</th>
            <td>{percentText(part.dataLoad)}</td>
          </tr>
          <tr>
            <th scope="row">Connected: half, 95 %, all</th>
            <td>
              {timeText(joined.half)}, {timeText(joined.p95)}, {timeText(joined.all)}
            </td>
          </tr>
          <tr>
            <th scope="row">The most connected; the most that one central serves</th>
            <td>
              {part.most.connected}; {part.mostOfOneCentral}
            </td>
          </tr>
        </tbody>
      </table>
      <table>
        <thead>
          <tr>
            <th scope="col">Boards</th>
            <th scope="col">Get through, formula</th>
            <th scope="col">Run</th>
            <th scope="col">Events that meet another</th>
          </tr>
        </thead>
        <tbody>
          {curve.map((point) => (
            <tr key={point.boards}>
              <th scope="row">{point.boards}</th>
              <td>{percentText(point.survival)}</td>
              <td>{point.survivalRun === undefined ? '' : percentText(point.survivalRun)}</td>
              <td>{percentText(point.collision)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
