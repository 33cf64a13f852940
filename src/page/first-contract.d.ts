// The first example and what checking it gives, made by the build (scripts/page/first-contract.ts).
declare module 'virtual:first-text' {
  export const text: string;
}
declare module 'virtual:first-board' {
  /** Without places in the text. */
  export const plan: import('./worker/board-plan.ts').BoardPlan;
}
declare module 'virtual:first-checked' {
  export const checked: import('../base/finding.ts').Checked<import('../table/compiled.ts').Compiled>;
}
