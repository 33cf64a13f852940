import { plainPalette, placeJson, type Palette, type PlaceJson } from '../../base/render-finding.ts';
import { lineIndex, type LineIndex, type SourceRange } from '../../base/text-range.ts';
import { countEffects, effects, type Change, type Effect } from './change.ts';

/** A contract's text, as the places of changes refer to it. */
export type Side = { readonly name: string; readonly text: string };

const headings: Readonly<Record<Effect, string>> = {
  breaks: 'Clients break',
  'must-rediscover': 'Clients must discover again',
  'keeps-working': 'Clients keep working',
};

const paints: Readonly<Record<Effect, keyof Palette>> = {
  breaks: 'error',
  'must-rediscover': 'warning',
  'keeps-working': 'note',
};

/** The changes for a person at a terminal, worst first, with a closing count. Ends in a line end. */
export function renderDiff(changes: readonly Change[], old: Side, next: Side, palette: Palette = plainPalette): string {
  if (changes.length === 0) return `${old.name} and ${next.name}: no change that a client could notice\n`;
  const oldLines = lineIndex(old.text);
  const newLines = lineIndex(next.text);
  const out: string[] = [];
  for (const effect of effects) {
    const these = changes.filter((change) => change.effect === effect);
    if (these.length === 0) continue;
    out.push(palette[paints[effect]](`${headings[effect]} (${these.length})`), '');
    for (const change of these) {
      const places = [place(old.name, change.old, oldLines), place(next.name, change.new, newLines)].filter(
        (text) => text !== undefined,
      );
      out.push(`  ${palette.strong(change.about)}: ${change.reason} ${palette.quiet(`[${change.kind}]`)}`);
      out.push(`    client: ${change.client}`);
      out.push(`    remedy: ${change.remedy}`);
      if (places.length > 0) out.push(`    ${palette.quiet(places.join(', '))}`);
      out.push('');
    }
  }
  out.push(`${old.name} to ${next.name}: ${summary(changes)}`);
  return `${out.join('\n')}\n`;
}

/** `2 changes break clients, 1 makes them discover again, 3 leave them as they are`. */
function summary(changes: readonly Change[]): string {
  const count = countEffects(changes);
  const verb = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;
  const total = `${changes.length} change${changes.length === 1 ? '' : 's'}`;
  return `${total}: ${[
    verb(count.breaks, 'breaks clients', 'break clients'),
    verb(count['must-rediscover'], 'makes them discover again', 'make them discover again'),
    verb(count['keeps-working'], 'leaves them as they are', 'leave them as they are'),
  ].join(', ')}`;
}

function place(name: string, range: SourceRange | undefined, lines: LineIndex): string | undefined {
  if (range === undefined) return undefined;
  const { line, column } = lines.position(range.start);
  return `${name}:${line}:${column}`;
}

/** The changes for programs; places are `null` where there are none. */
export type DiffJson = {
  readonly summary: Readonly<Record<Effect, number>>;
  readonly changes: readonly (Omit<Change, 'old' | 'new'> & {
    readonly old: PlaceJson | null;
    readonly new: PlaceJson | null;
  })[];
};

export function diffJson(changes: readonly Change[], old: Side, next: Side): DiffJson {
  const oldLines = lineIndex(old.text);
  const newLines = lineIndex(next.text);
  const where = (range: SourceRange | undefined, lines: LineIndex): PlaceJson | null =>
    range === undefined ? null : placeJson(range, lines);
  return {
    summary: countEffects(changes),
    changes: changes.map((change) => ({
      ...change,
      old: where(change.old, oldLines),
      new: where(change.new, newLines),
    })),
  };
}
