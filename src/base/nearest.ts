/**
 * The candidate most like `word`, for "did you mean": edits (insert, delete, replace, swap of neighbours) up to a third
 * of the word's length, at least 1 and at most 4; else the only one that begins as the word does, or that the word
 * begins with (`device-info`, `battery-service`). Case, `_` and blanks do not count.
 */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  const wanted = fold(word);
  let best: string | undefined;
  let bestDistance = Math.min(4, Math.max(1, Math.floor(wanted.length / 3))) + 1;
  const begun: string[] = [];
  for (const candidate of candidates) {
    if (sharesBeginning(wanted, candidate)) begun.push(candidate);
    if (Math.abs(candidate.length - wanted.length) >= bestDistance) continue;
    const distance = editDistance(wanted, fold(candidate));
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best ?? (begun.length === 1 ? begun[0] : undefined);
}

/** One is the beginning of the other, up to a hyphen where it is the candidate; of at least 3 characters. */
function sharesBeginning(wanted: string, candidate: string): boolean {
  if (wanted.length < 3 || candidate.length < 3) return false;
  const folded = fold(candidate);
  return folded.startsWith(wanted) || wanted.startsWith(`${folded}-`);
}

function fold(word: string): string {
  // A hostile key may be megabytes long; nothing near it can exist.
  return word.slice(0, 80).toLowerCase().replace(/[_\s]/g, '-');
}

/** Optimal string alignment distance. */
function editDistance(a: string, b: string): number {
  let older: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min((previous[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (previous[j - 1] ?? 0) + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, (older[j - 2] ?? 0) + 1);
      }
      row.push(least);
    }
    older = previous;
    previous = row;
  }
  return previous[b.length] ?? 0;
}
