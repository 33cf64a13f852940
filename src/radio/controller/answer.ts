import type { CommandParameters, CommandReturns, CompletedName, StartedName } from '../../hci/commands/codec.ts';
import type { CommandName } from '../../hci/commands/registry.ts';
import { hciErrors, type HciErrorName } from '../../hci/error-codes.ts';

/** A command that is not done; the status says why. */
export type Refused = { readonly refused: number };

/** No answer at all: only one command is done without. */
export const silent = 'silent';

/** What a command gives: its return parameters, or the status of Command Status. */
export type Answer<N extends CommandName> = N extends CompletedName
  ? CommandReturns<N> | Refused | typeof silent
  : N extends StartedName
    ? Refused | typeof begun
    : never;

/** Command Status with status 0: an event will tell the outcome. */
export const begun = 'begun';

export function refuse(name: HciErrorName): Refused {
  return { refused: hciErrors[name] };
}

/** What a controller does on a command, by name. Events that it causes follow its answer. */
export type CommandHandlers<C> = {
  readonly [N in CommandName]?: (core: C, parameters: CommandParameters<N>) => Answer<N>;
};

/** Whether a number lies from `least` to `most`, both allowed. */
export function within(value: number, least: number, most: number): boolean {
  return value >= least && value <= most;
}
