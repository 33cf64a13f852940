import type { JSX } from 'preact';
import { boardMs, type ValueSides } from '../stores/values.ts';
import { isPublished, isReadable, isWritable } from './instrument-kind.ts';
import { sideText } from './plate-text.ts';
import { ageWords, agreement, airWords, betweenWords, causeWords, delayOf, tracedDelay } from './sides-words.ts';

/** Truth beside air: the value on each side, who brought it there and when; hatched in both inks where they disagree. */
export function PlateSides({ sides }: { readonly sides: ValueSides }): JSX.Element {
  const { definition } = sides;
  const truth = sides.truth.value;
  const air = sides.air.value;
  const now = boardMs.value;
  const agreed = agreement(definition, truth, air, sides.subscribed.value, now);
  const notified = air?.how === 'notified' || air?.how === 'indicated';
  const delay =
    sides.traces !== undefined && notified ? tracedDelay(sides.traces.truth, sides.traces.air) : delayOf(truth, air);
  const apart = agreed === 'differs' || agreed === 'moved-on';
  return (
    <div class={`panel-sides panel-sides-${agreed}`}>
      <div class="panel-side board-ink">
        <span class="panel-side-value">
          <span aria-hidden="true">■ </span>
          <span class="unseen">The board holds </span>
          {truth === undefined ? 'not told' : sideText(definition.type, truth.raw)}
        </span>
        <span class="panel-side-note">
          {truth === undefined ? '' : `${causeWords(truth.cause)} ${ageWords(Math.max(0, now - truth.ms))}`}
        </span>
      </div>
      <div class="panel-side air-ink">
        <span class="panel-side-value">
          <span aria-hidden="true">● </span>
          <span class="unseen">Last on the air </span>
          {air === undefined ? 'nothing yet' : sideText(definition.type, air.raw)}
        </span>
        <span class="panel-side-note">{air === undefined ? howToGet(sides) : airWords(air, now)}</span>
      </div>
      <p class="panel-agreement">
        {apart && <span aria-hidden="true">▲ </span>}
        {betweenWords(agreed, delay)}
      </p>
    </div>
  );
}

function howToGet({ definition }: ValueSides): string {
  if (isReadable(definition)) return isPublished(definition) ? 'read or subscribe' : 'read it';
  return isWritable(definition) ? 'write it' : 'subscribe';
}
