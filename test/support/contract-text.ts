const head = `contract: 1
board: { name: Bench }
uuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8
services:
  - id: bench
    characteristics:
`;

/** A contract with one service; each argument holds one characteristic in flow style, without the braces. Line 7 is the first. */
export function benchWith(...characteristics: readonly string[]): string {
  return head + characteristics.map((text) => `      - { ${text} }\n`).join('');
}

/** A contract with these lines behind its head. */
export function contractWith(lines: string): string {
  return `contract: 1\nboard: { name: Bench }\nuuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8\n${lines}`;
}
