/** Texts that were made to hurt a reader; each must end in a finding, quickly and in little memory. */
export function hostileTexts(): readonly { readonly name: string; readonly bytes: Uint8Array }[] {
  const text = (name: string, content: string) => ({ name, bytes: new TextEncoder().encode(content) });
  return [
    text('10 MB of keys', 'key: value\n'.repeat(950_000)),
    text('just under 1 MiB of list items', `services:\n${'  - id: a\n'.repeat(100_000)}`),
    text('alias bomb, nine levels', aliasBomb(9)),
    text('flow depth 10,000', `contract: ${'['.repeat(10_000)}${']'.repeat(10_000)}\n`),
    text('flow maps, depth 10,000', `contract: ${'{a: '.repeat(10_000)}1${'}'.repeat(10_000)}\n`),
    text('block depth 1,000', Array.from({ length: 1000 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')),
    text('dashes on one line, 10,000', `${'- '.repeat(10_000)}x\n`),
    text('duplicate keys, 20,000', 'contract: 1\n'.repeat(20_000)),
    text('one line of 1 MB', `contract: "${'x'.repeat(1_000_000)}"\n`),
    text('NUL octets', `contract: 1\nboard: { name: "a\u0000b" }\n${'\u0000'.repeat(1000)}`),
    { name: 'UTF-8 broken in 500,000 places', bytes: new Uint8Array(500_000).fill(0xff) },
    text('50,000 unclosed quotes', 'a: "\n'.repeat(50_000)),
  ];
}

function aliasBomb(levels: number): string {
  const lines = ['a0: &a0 [x, x, x, x, x, x, x, x, x]'];
  for (let i = 1; i < levels; i++)
    lines.push(`a${i}: &a${i} [${Array.from({ length: 9 }, () => `*a${i - 1}`).join(', ')}]`);
  return `${lines.join('\n')}\n`;
}
