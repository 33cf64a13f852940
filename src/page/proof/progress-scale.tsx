import type { JSX } from 'preact';
import { proofRun } from '../stores/proof.ts';
import { familyFacts } from './run-facts.ts';
import { scaleTicks } from './scale-ticks.ts';

/** How far the proof is, on a scale of cases: a tick where a family begins, a triangle where a case failed. */
export function ProgressScale(): JSX.Element | null {
  const run = proofRun.value;
  const total = run?.planned.length ?? 0;
  if (run === undefined || total === 0) return null;
  const done = run.results.length;
  const at = (n: number): string => `${(100 * n) / total}%`;
  const failed = run.results.flatMap(({ verdict }, i) => (verdict === 'failed' ? [i + 0.5] : []));
  return (
    <div
      class="proof-scale"
      role="progressbar"
      aria-label="Cases run"
      aria-valuemin={0}
      aria-valuemax={total}
      aria-valuenow={done}
      aria-valuetext={`${done} of ${total} cases`}
    >
      <svg aria-hidden="true">
        <line class="proof-scale-base" x1="0" x2="100%" y1="20" y2="20" />
        <line class="proof-scale-done" x1="0" x2={at(done)} y1="20" y2="20" />
        {familyStarts().map((start) => (
          <line key={start} class="proof-scale-family" x1={at(start)} x2={at(start)} y1="13" y2="20" />
        ))}
        <line class="proof-scale-family" x1="100%" x2="100%" y1="13" y2="20" />
        {scaleTicks(total, 8).map((tick) => (
          <g key={tick}>
            <line class="proof-scale-tick" x1={at(tick)} x2={at(tick)} y1="20" y2="26" />
            <text x={at(tick)} y="38" text-anchor={tick === 0 ? 'start' : 'middle'}>
              {tick}
            </text>
          </g>
        ))}
        <text x="100%" y="38" text-anchor="end">
          {total}
        </text>
        {spread(failed, total).map((place) => (
          <svg key={place} x={at(place)} y="1" class="proof-scale-failed">
            <path d="M0 0 5 9H-5z" />
          </svg>
        ))}
      </svg>
    </div>
  );
}

/** The place on the scale where each family that runs begins. */
function familyStarts(): readonly number[] {
  const starts: number[] = [];
  let from = 0;
  for (const { planned } of familyFacts.value) {
    if (planned === 0) continue;
    starts.push(from);
    from += planned;
  }
  return starts;
}

/** At most one triangle for each two hundredth of the scale: more would be one black bar, and slow. */
function spread(places: readonly number[], total: number): readonly number[] {
  const seen = new Set<number>();
  return places.filter((place) => {
    const slot = Math.floor((200 * place) / total);
    if (seen.has(slot)) return false;
    seen.add(slot);
    return true;
  });
}
