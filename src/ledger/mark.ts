/** What can be wrong with a value on its way. A crossing has one mark at most: the first of these that holds. */
export const markKinds = ['wrong', 'lost', 'reordered', 'duplicated', 'late', 'stale'] as const;

export type MarkKind = (typeof markKinds)[number];

/** What each mark means, in one sentence for people. */
export const markWords: Readonly<Record<MarkKind, string>> = {
  wrong: 'what crossed is no value that the board held',
  lost: 'a change that was due to a subscriber never came, or an accepted write never became the truth',
  reordered: 'an older value came behind a newer one',
  duplicated: 'a value came again, with no change in between',
  late: 'a change came, but later than the contract and the connection allow',
  stale: 'the value had been replaced on the board before it was sent',
};
