/** Bounds that keep time and memory small for any text; all are far beyond what a contract needs. */

/** The largest contract, octets. */
export const largestFile = 1024 * 1024;

/** Deepest nesting of lists and mappings, counted in openings; a contract needs about 12. */
export const deepest = 64;

/** Most words and marks: all but blanks, line ends and comments. Five hundred characteristics have some 25,000. */
export const mostWords = 60_000;

/** Most tokens of any kind, blanks and line ends too. */
export const mostTokens = 250_000;

/** Most findings that are told of one text; a file with more is no contract. */
export const mostFindings = 500;

/** Words compared for "did you mean" in one text; a hundred misspelt names of characteristics take a third of it. */
export const mostComparisons = 150_000;
