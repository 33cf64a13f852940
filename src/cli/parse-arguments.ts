import { parseArgs, type ParseArgsConfig } from 'node:util';
import { nearest } from '../base/nearest.ts';
import { CannotRun } from './cannot-run.ts';
import type { Command, Input, OptionDeclaration, ValueKind } from './command.ts';

/**
 * Reads the words behind a command's name against its declaration.
 *
 * @throws CannotRun for unknown or missing words, with a remedy
 */
export function parseArguments(command: Command, words: readonly string[]): Input {
  const known: ParseArgsConfig['options'] = { help: { type: 'boolean', short: 'h' } };
  for (const option of command.options)
    known[option.name] = { type: option.value === undefined ? 'boolean' : 'string' };
  // strict: false, since we word the complaints ourselves.
  const parsed = parseArgs({ args: [...words], options: known, allowPositionals: true, strict: false, tokens: true });

  const options = new Map<string, string>();
  const usage = `see \`gattwright help ${command.name}\``;
  for (const token of parsed.tokens) {
    if (token.kind !== 'option') continue;
    if (token.name === 'help' || token.name === 'h') {
      options.set('help', '');
      continue;
    }
    const option = command.options.find((candidate) => candidate.name === token.name);
    if (option === undefined) {
      const near = nearest(
        token.name,
        command.options.map(({ name }) => name),
      );
      throw new CannotRun(
        `\`${command.name}\` has no option ${token.rawName}`,
        near === undefined ? usage : `did you mean --${near}?`,
      );
    }
    options.set(option.name, optionValue(command, option, token.value));
  }

  const values = new Map<string, string>();
  command.arguments.forEach((argument, index) => {
    const value = parsed.positionals[index];
    if (value !== undefined) values.set(argument.name, checkKind(argument.kind, value, argument.name));
    else if (argument.optional !== true && !options.has('help')) {
      throw new CannotRun(`\`${command.name}\` needs ${argument.name}: ${argument.about}`, usage);
    }
  });
  const extra = parsed.positionals[command.arguments.length];
  if (extra !== undefined) throw new CannotRun(`\`${command.name}\` takes no further word: \`${extra}\``, usage);

  return {
    argument: (name) => values.get(name),
    option: (name) => options.get(name),
    has: (name) => options.has(name),
  };
}

function optionValue(command: Command, option: OptionDeclaration, value: string | undefined): string {
  if (option.value === undefined) {
    if (value !== undefined) throw new CannotRun(`--${option.name} takes no value`);
    return '';
  }
  if (value === undefined) {
    throw new CannotRun(`--${option.name} needs ${option.value.name}`, `see \`gattwright help ${command.name}\``);
  }
  return checkKind(option.value.kind, value, `--${option.name}`);
}

function checkKind(kind: ValueKind, value: string, name: string): string {
  if (typeof kind === 'object' && !kind.oneOf.includes(value)) {
    throw new CannotRun(`${name} is \`${value}\`, which is none of: ${kind.oneOf.join(', ')}`);
  }
  if (kind === 'number' && !/^\d{1,9}$/.test(value)) {
    throw new CannotRun(`${name} is \`${value}\`, which is no whole number from 0 to 999999999`);
  }
  return value;
}
