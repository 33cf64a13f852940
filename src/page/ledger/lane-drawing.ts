import { markOf, type AirEntry, type Entry, type MissingEntry, type TruthEntry } from '../../ledger/entry.ts';
import type { Inks } from '../panel/inks.ts';

/** Where lines of the ledger are drawn: times become pixels. */
export type Scale = { readonly from: number; readonly to: number; readonly width: number };

/** CSS pixels. */
export const laneHeight = 64;
const truthLane = 16;
const airLane = 42;
/** Half the width of a square or circle: where there is room, and where they stand closely. */
const largest = 3.5;
const smallest = 1.25;
/** Squares that may stand closely without being made smaller. */
const crowd = 12;
const wordHeight = 11;

/** What a mark on the drawing stands for, to find it by a click. */
export type Spot = { readonly x: number; readonly y: number; readonly entry: Entry };

/** Pixel of a time. */
export function place({ from, to, width }: Scale, at: number): number {
  return ((at - from) / (to - from)) * width;
}

/**
 * Draws the lines of one value: the board's changes as squares on the upper line, what crossed as circles on the lower one,
 * and between the two a stroke that leans as much as the value was late. What is wrong is hatched in both inks and said.
 *
 * @param entries of this value, ascending
 * @returns where what was drawn
 */
export function drawLane(
  context: CanvasRenderingContext2D,
  entries: readonly Entry[],
  scale: Scale,
  colours: Inks,
  chosen: Entry | undefined,
): readonly Spot[] {
  const { width } = scale;
  context.clearRect(0, 0, width, laneHeight);
  context.lineCap = 'round';
  rule(context, truthLane, width, colours.hair);
  rule(context, airLane, width, colours.hair);
  const spots: Spot[] = [];
  const side = sizeFor(entries, scale);
  const truth = new Map<number, TruthEntry>();
  for (const entry of entries) if (entry.kind === 'truth') truth.set(entry.version, entry);

  for (const entry of entries) if (markOf(entry) !== undefined) hatch(context, place(scale, entry.at), colours);
  for (const entry of entries) {
    if (entry.kind !== 'air') continue;
    const made = entry.version === undefined || entry.delay === undefined ? undefined : truth.get(entry.version);
    if (made !== undefined) lean(context, entry, made, scale, colours, side);
  }
  let wordEnd = -Infinity;
  for (const entry of entries) {
    const x = place(scale, entry.at);
    if (entry.kind === 'truth') {
      context.fillStyle = colours.board;
      context.fillRect(x - side, truthLane - side, 2 * side, 2 * side);
      spots.push({ x, y: truthLane, entry });
    } else if (entry.kind === 'air' || entry.kind === 'refused') {
      circle(context, x, side, colours.air, entry.kind === 'air');
      spots.push({ x, y: airLane, entry });
    } else if (entry.kind === 'missing') {
      cross(context, x, colours.air);
      spots.push({ x, y: airLane, entry });
    }
    wordEnd = word(context, entry, x, wordEnd, scale, colours);
  }
  const spot = spots.find(({ entry }) => entry === chosen);
  if (spot !== undefined) {
    context.strokeStyle = colours.ink;
    context.lineWidth = 1.5;
    context.strokeRect(spot.x - 7, spot.y - 7, 14, 14);
  }
  return spots;
}

/** The entry that was drawn nearest to a place, within a finger's breadth. */
export function spotAt(spots: readonly Spot[], x: number, y: number): Entry | undefined {
  let best: Entry | undefined;
  let least = 14 ** 2;
  for (const spot of spots) {
    const distance = (spot.x - x) ** 2 + ((spot.y - y) / 1.5) ** 2;
    if (distance >= least) continue;
    least = distance;
    best = spot.entry;
  }
  return best;
}

/** Marks that would run into each other are drawn smaller. */
function sizeFor(entries: readonly Entry[], scale: Scale): number {
  const times = entries.filter(({ kind }) => kind === 'truth').map(({ at }) => place(scale, at));
  if (times.length < crowd) return largest;
  const gaps = times.slice(1).map((x, i) => x - (times[i] ?? x));
  const middle = gaps.sort((a, b) => a - b)[Math.floor(gaps.length / 2)] ?? Infinity;
  return Math.max(smallest, Math.min(largest, middle / 2.8));
}

function rule(context: CanvasRenderingContext2D, y: number, width: number, colour: string): void {
  context.strokeStyle = colour;
  context.lineWidth = 1;
  context.beginPath();
  context.moveTo(0, y + 0.5);
  context.lineTo(width, y + 0.5);
  context.stroke();
}

/** From the change to what carried it; down to the central, or up from it for a write. */
function lean(
  context: CanvasRenderingContext2D,
  entry: AirEntry,
  made: TruthEntry,
  scale: Scale,
  colours: Inks,
  side: number,
): void {
  const up = entry.way === 'written';
  context.strokeStyle = entry.mark === undefined ? colours.rule : colours.air;
  context.lineWidth = 1;
  context.beginPath();
  context.moveTo(place(scale, made.at), truthLane + side);
  context.lineTo(place(scale, up ? entry.asked : entry.at), airLane - side);
  context.stroke();
}

function circle(context: CanvasRenderingContext2D, x: number, side: number, colour: string, filled: boolean): void {
  context.beginPath();
  context.arc(x, airLane, filled ? side : largest, 0, 2 * Math.PI);
  if (filled) {
    context.fillStyle = colour;
    context.fill();
  } else {
    context.strokeStyle = colour;
    context.lineWidth = 1.5;
    context.stroke();
  }
}

/** Where something should have been. */
function cross(context: CanvasRenderingContext2D, x: number, colour: string): void {
  context.strokeStyle = colour;
  context.lineWidth = 1.5;
  context.beginPath();
  for (const slope of [-1, 1]) {
    context.moveTo(x - largest, airLane - slope * largest);
    context.lineTo(x + largest, airLane + slope * largest);
  }
  context.stroke();
}

/** Both inks where the two sides do not agree. */
function hatch(context: CanvasRenderingContext2D, x: number, colours: Inks): void {
  context.save();
  context.beginPath();
  context.rect(x - 7, 4, 14, laneHeight - 8);
  context.clip();
  context.lineWidth = 2;
  context.globalAlpha = 0.45;
  for (let i = 0; i < 12; i++) {
    context.strokeStyle = i % 2 === 0 ? colours.board : colours.air;
    context.beginPath();
    context.moveTo(x - 12, 6 + i * 7);
    context.lineTo(x + 12, -18 + i * 7);
    context.stroke();
  }
  context.restore();
}

/** The word of a mark, where the last word leaves room for it. @returns where it ends */
function word(
  context: CanvasRenderingContext2D,
  entry: Entry,
  x: number,
  wordEnd: number,
  { width }: Scale,
  colours: Inks,
): number {
  const mark = markOf(entry);
  if (mark === undefined) return wordEnd;
  const text = `▲ ${mark}`;
  context.font = `600 ${wordHeight}px 'IBM Plex Sans', sans-serif`;
  const length = context.measureText(text).width;
  const start = Math.max(0, Math.min(width - length, x - 4));
  if (start < wordEnd + 6) return wordEnd;
  context.fillStyle = colours.paper;
  context.fillRect(start - 1, laneHeight - wordHeight - 3, length + 2, wordHeight + 3);
  context.fillStyle = colours.ink;
  context.fillText(text, start, laneHeight - 3);
  return start + length;
}

/** How many of each there are, for who does not see the drawing. */
export function laneWords(label: string, entries: readonly Entry[]): string {
  const count = (kind: Entry['kind']): number => entries.filter((entry) => entry.kind === kind).length;
  const marks = entries.flatMap((entry): readonly (AirEntry | MissingEntry)[] =>
    (entry.kind === 'air' || entry.kind === 'missing') && entry.mark !== undefined ? [entry] : [],
  );
  const wrong = marks.length === 0 ? 'no marks' : marks.map(({ mark }) => mark).join(', ');
  return `${label}: ${count('truth')} changes on the board, ${count('air')} crossings, ${wrong}`;
}
