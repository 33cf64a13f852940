/** The first example with what checking it gives, made by the build (scripts/page/first-contract.ts). */
declare module 'virtual:first-contract' {
  export const text: string;
  export const checked: import('../../base/finding.ts').Checked<import('../../table/compiled.ts').Compiled>;
}
