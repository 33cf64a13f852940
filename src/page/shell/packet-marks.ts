import { effect } from '@preact/signals';
import { isConnected } from '../stores/board.ts';
import { onCrossings } from '../stores/packets.ts';

/** Milliseconds a mark takes along the whole line. */
const crossingTime = 700;
/** Marks on the line at once; with more packets than that it is simply full of them. */
const mostMarks = 14;

/**
 * Draws a mark along the line for the packets that cross: from the board to the right, from the central to the left. At
 * most one each way for each batch. Outside the component tree, and not at all when motion is not wanted.
 *
 * @param line the element the marks are children of, as wide as the line
 * @returns how to stop
 */
export function drawCrossings(line: HTMLElement): () => void {
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const idle: HTMLElement[] = [];
  const moving = new Set<Animation>();
  let made = 0;
  const send = (from: 'board' | 'central'): void => {
    if (idle.length === 0 && made < mostMarks) {
      made += 1;
      idle.push(makeMark(line));
    }
    const mark = idle.pop();
    if (mark === undefined) return;
    mark.hidden = false;
    const width = line.clientWidth;
    const ends = from === 'board' ? [0, width] : [width, 0];
    const frames = ends.map((x) => ({ transform: `translateX(${x}px)` }));
    const crossing = mark.animate(frames, { duration: crossingTime, easing: 'linear' });
    moving.add(crossing);
    const settle = (): void => {
      moving.delete(crossing);
      mark.hidden = true;
      idle.push(mark);
    };
    crossing.onfinish = settle;
    crossing.oncancel = settle;
  };
  // What was under way when the link broke did not arrive.
  const stopLoss = effect(() => {
    if (!isConnected.value) for (const crossing of [...moving]) crossing.cancel();
  });
  const stopCrossings = onCrossings(({ central, board }) => {
    if (still.matches || !isConnected.peek() || document.visibilityState === 'hidden') return;
    if (board > 0) send('board');
    if (central > 0) send('central');
  });
  return () => {
    stopLoss();
    stopCrossings();
  };
}

function makeMark(line: HTMLElement): HTMLElement {
  const mark = document.createElement('i');
  mark.className = 'link-mark';
  line.append(mark);
  return mark;
}
