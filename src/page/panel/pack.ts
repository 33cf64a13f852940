/** A plate on the sheet: `units` is the width its instrument needs; `parts` what it got of the row's `rowParts`. */
export type Packed<T> = { readonly plate: T; readonly parts: number };

/** Fine columns of a row: what is left over is shared out evenly among its plates. */
export const rowParts = 120;

/**
 * Sets plates in rows as words are set in a paragraph: in their order, every row filled to its end, and so broken that
 * the rows are filled as evenly as can be.
 *
 * @param units of a row, at least 1; a plate that needs more gets the whole row
 */
export function packPlates<T extends { readonly units: number }>(
  plates: readonly T[],
  units: number,
): readonly (readonly Packed<T>[])[] {
  const widths = plates.map((plate) => Math.min(units, Math.max(1, plate.units)));
  // best[i]: least cost of setting the plates from i on; next[i]: where the row that begins with i ends.
  const best = new Float64Array(plates.length + 1);
  const next = new Int32Array(plates.length + 1);
  for (let from = plates.length - 1; from >= 0; from--) {
    best[from] = Infinity;
    let filled = 0;
    for (let end = from; end < plates.length; end++) {
      filled += widths[end] ?? 0;
      if (filled > units) break;
      const cost = ((units - filled) / units) ** 2 + (best[end + 1] ?? 0);
      if (cost < (best[from] ?? 0)) {
        best[from] = cost;
        next[from] = end + 1;
      }
    }
  }
  const rows: (readonly Packed<T>[])[] = [];
  for (let from = 0; from < plates.length; from = next[from] ?? plates.length) {
    const end = next[from] ?? plates.length;
    rows.push(share(plates.slice(from, end), widths.slice(from, end)));
  }
  return rows;
}

function share<T>(plates: readonly T[], widths: readonly number[]): readonly Packed<T>[] {
  const sum = widths.reduce((total, width) => total + width, 0);
  let filled = 0;
  let given = 0;
  return plates.map((plate, i) => {
    filled += widths[i] ?? 0;
    const until = Math.round((filled * rowParts) / sum);
    const parts = until - given;
    given = until;
    return { plate, parts };
  });
}
