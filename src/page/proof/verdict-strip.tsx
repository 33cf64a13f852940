import type { JSX } from 'preact';
import type { CaseResult, VerdictWord } from '../../proof/verdict.ts';

/** Marks in a row, and the pitch of a mark in pixels. */
const perRow = 40;
const pitch = 7;
/** Cases drawn one by one; a family of more is told by its counts. */
const most = 400;

/** One mark for each case of a family, as on a test strip; faint where it is still to run. */
export function VerdictStrip({
  results,
  planned,
}: {
  readonly results: readonly CaseResult[];
  readonly planned: number;
}): JSX.Element | null {
  const count = Math.min(most, Math.max(planned, results.length));
  if (count === 0) return null;
  const rows = Math.ceil(count / perRow);
  const paths: Record<VerdictWord | 'waiting', string> = {
    passed: '',
    failed: '',
    inconclusive: '',
    'not-reachable': '',
    waiting: '',
  };
  for (let i = 0; i < count; i++) {
    const verdict = results[i]?.verdict ?? 'waiting';
    paths[verdict] += shapes[verdict]((i % perRow) * pitch, Math.floor(i / perRow) * pitch * 1.5);
  }
  return (
    <svg class="proof-strip" width={perRow * pitch} height={rows * pitch * 1.5} aria-hidden="true">
      {(Object.keys(paths) as (keyof typeof paths)[]).map((verdict) => (
        <path key={verdict} class={`proof-strip-${verdict}`} d={paths[verdict]} />
      ))}
    </svg>
  );
}

/** Each verdict has a shape of its own: colour alone tells nothing. */
const shapes: Readonly<Record<VerdictWord | 'waiting', (x: number, y: number) => string>> = {
  passed: (x, y) => `M${x + 1} ${y + 1}h5v8h-5z`,
  failed: (x, y) => `M${x + 3.5} ${y}l3.5 9h-7z`,
  inconclusive: (x, y) => `M${x + 3.5} ${y + 0.5}l3 4.5l-3 4.5l-3-4.5z`,
  'not-reachable': (x, y) => `M${x + 1.5} ${y + 1.5}h4v7h-4z`,
  waiting: (x, y) => `M${x + 1} ${y + 8.5}h5`,
};
