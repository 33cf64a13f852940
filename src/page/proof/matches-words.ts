/** True when `text` holds every one of the words, in any order and case. No words match everything. */
export function matchesWords(text: string, words: string): boolean {
  const within = text.toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => within.includes(word));
}
