import { CannotRun } from './cannot-run.ts';
import type { Io } from './io.ts';

/** Ends of the program: 0 fine, 1 findings or failed cases, 2 could not run. */
export type ExitCode = 0 | 1 | 2;

/** What an argument or option value is, for help and completion. */
export type ValueKind =
  'contract' | 'path' | 'finding-code' | 'text' | 'number' | 'time' | { readonly oneOf: readonly string[] };

export type ArgumentDeclaration = {
  /** As it stands in the usage line, upper case. */
  readonly name: string;
  readonly about: string;
  readonly kind: ValueKind;
  readonly optional?: true;
};

export type OptionDeclaration = {
  /** Without the hyphens. */
  readonly name: string;
  readonly about: string;
  /** Absent for a switch. */
  readonly value?: { readonly name: string; readonly kind: ValueKind };
};

/** A command as data: parser, help and completions all read this, and nothing else describes it. */
export type Command = {
  readonly name: string;
  readonly summary: string;
  /** A few sentences for `gattwright help NAME`. */
  readonly about: string;
  readonly arguments: readonly ArgumentDeclaration[];
  readonly options: readonly OptionDeclaration[];
  readonly examples: readonly { readonly line: string; readonly about: string }[];
  /** The work itself, loaded only when the command runs. */
  load(): Promise<{ run: Run }>;
};

/** @param commands every command there is, for those that tell of the others */
export type Run = (input: Input, io: Io, commands: readonly Command[]) => Promise<ExitCode>;

/** Arguments by declared name, options by name; checked against the declaration already. */
export type Input = {
  argument(name: string): string | undefined;
  option(name: string): string | undefined;
  has(name: string): boolean;
};

export function required(input: Input, name: string): string {
  const value = input.argument(name);
  if (value === undefined) throw new CannotRun(`${name} is missing`);
  return value;
}
