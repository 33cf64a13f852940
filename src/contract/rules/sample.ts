/**
 * The small contracts in the documentation of the lints: a bench with one service, and the lines that matter in it.
 */

const head = `contract: 1
board:
  name: Bench {unit}
  unit: "01"
uuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8
`;

/** One service with one or more characteristics; each argument holds the lines of one, without indentation. */
export function characteristics(...each: readonly string[]): string {
  return `${head}services:
  - id: bench
    characteristics:
${each.map((lines) => item(lines, 6)).join('')}`;
}

/** The services given, each as the lines of one, without indentation. */
export function services(...each: readonly string[]): string {
  return `${head}services:
${each.map((lines) => item(lines, 2)).join('')}`;
}

/** A `radio:` section with these lines, and a service with one counter, or with `characteristic`. */
export function radio(lines: string, characteristic = plainCounter): string {
  return `${head}radio:
${indent(lines, 2)}services:
  - id: bench
    characteristics:
${item(characteristic, 6)}`;
}

/** A `board:` section with these lines, and a service with one counter. */
export function board(lines: string): string {
  return `contract: 1
board:
${indent(lines, 2)}uuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8
services:
  - id: bench
    characteristics:
${item(plainCounter, 6)}`;
}

/** A counter that no lint has a word about. */
export const plainCounter = `
id: count
label: Parts counted
type: uint32
access: [read, notify]
notify: { on: change, at-most: 10 Hz }`;

/** A contract that no lint has a word about. */
export const plain = characteristics(plainCounter);

function item(lines: string, depth: number): string {
  return indent(lines, depth + 2).replace(' '.repeat(depth + 2), `${' '.repeat(depth)}- `);
}

function indent(lines: string, depth: number): string {
  return lines
    .trim()
    .split('\n')
    .map((line) => (line === '' ? '\n' : `${' '.repeat(depth)}${line}\n`))
    .join('');
}
