import type { CommandName } from '../../../hci/commands/registry.ts';
import { supportedCommands } from '../../../hci/supported-commands.ts';
import type { CommandHandlers } from '../answer.ts';
import type { Core } from '../core.ts';
import { advertisingHandlers } from './advertising.ts';
import { connectionHandlers } from './connection.ts';
import { generalHandlers } from './general.ts';
import { leGeneralHandlers } from './le-general.ts';
import { scanningHandlers } from './scanning.ts';

const others: CommandHandlers<Core> = {
  ...generalHandlers,
  ...leGeneralHandlers,
  ...advertisingHandlers,
  ...scanningHandlers,
  ...connectionHandlers,
};

/** Commands of a virtual controller, by name. */
export const supportedNames: readonly CommandName[] = [
  ...(Object.keys(others) as CommandName[]),
  'read-local-supported-commands',
];

/** What a virtual controller does on each of its commands. */
export const handlers: CommandHandlers<Core> = {
  ...others,
  'read-local-supported-commands': () => ({ commands: supportedCommands(supportedNames) }),
};
