/**
 * A contract with `count` characteristics of mixed types in services of ten: invented, for timing only. Every line of it
 * is legal, so that checking goes all the way.
 */
export function bigContract(count: number): string {
  const lines = [
    'contract: 1',
    'board: { name: "Bench {unit}", unit: "1" }',
    'uuid-base: 0b5e0000-95a7-4a39-8a25-1c6ba2f4d3e7',
    'radio:',
    '  connection: { interval: 30 ms, timeout: 4 s, mtu: 185 }',
    'services:',
  ];
  for (let i = 0; i < count; i++) {
    if (i % 10 === 0) lines.push(`  - id: group-${i / 10}`, `    label: Group ${i / 10}`, '    characteristics:');
    lines.push(
      `      - id: value-${i}`,
      `        label: Value ${i}`,
      ...(shapes[i % shapes.length] ?? []).map((line) => `        ${line}`),
    );
  }
  return `${lines.join('\n')}\n`;
}

const shapes: readonly (readonly string[])[] = [
  ['type: uint16', 'scale: { decimal: -2 }', 'unit: hertz', 'range: [0, 400]', 'access: [read]'],
  ['type: sint24', 'scale: { decimal: -4 }', 'unit: metre', 'range: [-2, 2]', 'access: [read]'],
  ['type: utf8', 'length: [0, 20]', 'access: [read]'],
  ['type: { enum: uint8, names: { 0: off, 1: slow, 2: fast } }', 'access: [read]'],
  ['type: { struct: [{ id: a, label: A, type: uint8 }, { id: b, label: B, type: sint16 }] }', 'access: [read]'],
  ['type: uint32', 'access: [read, notify]', 'notify: { on: change, at-most: 0.1 Hz }'],
  ['type: boolean', 'access: [read]'],
  ['type: { array: uint16, count: 6 }', 'access: [read]'],
];
