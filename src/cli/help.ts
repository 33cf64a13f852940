import type { Command } from './command.ts';

/** `gattwright check FILE [--format FORMAT] [--strict]` */
export function usageLine(command: Command): string {
  const words = [
    'gattwright',
    command.name,
    ...command.arguments.map(({ name, optional }) => (optional === true ? `[${name}]` : name)),
    ...command.options.map(({ name, value }) => (value === undefined ? `[--${name}]` : `[--${name} ${value.name}]`)),
  ];
  return words.join(' ');
}

export function commandHelp(command: Command, columns: number): string {
  const rows: [string, string][] = [
    ...command.arguments.map(({ name, about }): [string, string] => [name, about]),
    ...command.options.map(({ name, value, about }): [string, string] => [
      value === undefined ? `--${name}` : `--${name} ${value.name}`,
      about,
    ]),
  ];
  return [
    usageLine(command),
    '',
    ...wrap(command.about, columns, ''),
    ...(rows.length > 0 ? ['', ...twoColumns(rows, columns)] : []),
    '',
    'Examples:',
    ...twoColumns(
      command.examples.map(({ line, about }) => [line, about]),
      columns,
    ),
    '',
  ].join('\n');
}

export function overview(commands: readonly Command[], columns: number): string {
  return [
    'gattwright COMMAND …',
    '',
    ...wrap(
      'One contract file says what a board’s Bluetooth Low Energy interface is; everything else is derived from it or checked against it.',
      columns,
      '',
    ),
    '',
    ...twoColumns(
      commands.map(({ name, summary }) => [name, summary]),
      columns,
    ),
    '',
    'Ends with 0 when all is well, 1 when there are errors or failed cases, 2 when it could not run.',
    '`gattwright help COMMAND` says more.',
    '',
  ].join('\n');
}

function twoColumns(rows: readonly (readonly [string, string])[], columns: number): string[] {
  const left = Math.min(34, Math.max(...rows.map(([name]) => name.length))) + 2;
  return rows.flatMap(([name, about]) => {
    const lines = wrap(about, columns - left - 2, '');
    const head = `  ${name.padEnd(left)}`;
    if (name.length >= left) return [`  ${name}`, ...lines.map((line) => ' '.repeat(left + 2) + line)];
    return lines.map((line, index) => (index === 0 ? head : ' '.repeat(left + 2)) + line);
  });
}

/** Breaks at blanks; a word longer than a line stands alone. */
function wrap(text: string, columns: number, indent: string): string[] {
  const width = Math.max(30, Math.min(columns, 100));
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(indent + line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, indent + line];
}
