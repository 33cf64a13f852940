import { bug } from '../../base/bug.ts';
import type { Bytes } from '../../base/bytes.ts';
import type { Address } from '../address.ts';
import type { CommandName } from '../commands/registry.ts';
import { hciErrors, hciErrorTitle } from '../error-codes.ts';
import { namesOfSupported } from '../supported-commands.ts';
import type { Commander } from './commander.ts';

/** What a host has learnt of its controller. */
export type ControllerFacts = {
  readonly commands: ReadonlySet<CommandName>;
  /** The 64 bits of Core Vol 6 Part B 4.6. */
  readonly features: Bytes;
  /** Octets of data in one ACL packet, and packets that the controller holds at once. */
  readonly aclLength: number;
  readonly aclCount: number;
  readonly publicAddress: Address;
  /** HCI version number: 10 = 5.1, for instance. */
  readonly version: number;
};

/** Bits of the LE features, Core Vol 6 Part B 4.6. */
export const leFeature = { dataLengthExtension: 5, phy2M: 8, phyCoded: 11 } as const;

export function hasFeature(features: Bytes, bit: number): boolean {
  return ((features[bit >> 3] ?? 0) & (1 << (bit & 7))) !== 0;
}

/** Events that a host needs, by their bits: Core Vol 4 Part E 7.3.1 and 7.8.1. */
const eventBits = [4, 7, 11, 15, 25, 47, 61];
const leEventBits = [0, 1, 2, 3, 4, 5, 6, 11, 19];

export type BringUpOptions = {
  /** A random static address to go by; `undefined`: the controller's public one. */
  readonly address: Address | undefined;
  /** Octets of link-layer payload that new connections shall have, 27..251. */
  readonly dataLength: number;
};

/** The most that a link-layer packet takes on the 1M PHY with a MIC, µs: Core Vol 6 Part B 4.5.10. */
export function packetTime(octets: number): number {
  return 8 * (1 + 4 + 2 + octets + 4 + 3);
}

/**
 * Resets a controller and readies it: what it is and can do, which events it shall tell, the address, the length of
 * packets.
 *
 * @param done called with what was learnt, or with one sentence that says which step failed how
 */
export function bringUp(
  commander: Commander,
  { address, dataLength }: BringUpOptions,
  done: (facts: ControllerFacts | undefined, trouble: string) => void,
): void {
  let commands: ReadonlySet<CommandName> = new Set();
  let version = 0;
  let features: Bytes = new Uint8Array(8);
  let publicAddress: Address = '00:00:00:00:00:00';
  let acl: { readonly aclLength: number; readonly aclCount: number } | undefined;

  const failed = (what: string, status: number): void => {
    const how = status === hciErrors.success ? 'an answer that cannot be read' : hciErrorTitle(status);
    done(undefined, `the controller answers ${what} with ${how}`);
  };

  /** Each calls `next` when it is done; the row ends at the first that fails. */
  const steps: readonly ((next: () => void) => void)[] = [
    (next) => {
      commander.complete('reset', {}, ({ status }) => {
        if (status === hciErrors.success) next();
        else failed('Reset', status);
      });
    },
    (next) => {
      commander.complete('read-local-version', {}, ({ status, returns }) => {
        if (returns === undefined) {
          failed('Read Local Version Information', status);
          return;
        }
        version = returns.hciVersion;
        next();
      });
    },
    (next) => {
      commander.complete('read-local-supported-commands', {}, ({ status, returns }) => {
        if (returns === undefined) {
          failed('Read Local Supported Commands', status);
          return;
        }
        commands = new Set(namesOfSupported(returns.commands));
        next();
      });
    },
    (next) => {
      commander.complete('read-bd-addr', {}, ({ returns }) => {
        if (returns !== undefined) publicAddress = returns.address;
        next();
      });
    },
    (next) => {
      commander.complete('le-read-buffer-size', {}, ({ status, returns }) => {
        if (returns === undefined) {
          failed('LE Read Buffer Size', status);
          return;
        }
        if (returns.aclLength > 0) acl = returns;
        next();
      });
    },
    (next) => {
      // No buffers of its own for LE: it shares those of the other kind, Core Vol 4 Part E 7.8.2.
      if (acl !== undefined) {
        next();
        return;
      }
      commander.complete('read-buffer-size', {}, ({ status, returns }) => {
        if (returns === undefined || returns.aclLength < 27 || returns.aclCount === 0) {
          failed('Read Buffer Size', status);
          return;
        }
        acl = returns;
        next();
      });
    },
    (next) => {
      commander.complete('le-read-local-features', {}, ({ returns }) => {
        if (returns !== undefined) features = returns.features;
        next();
      });
    },
    (next) => {
      commander.complete('set-event-mask', { mask: maskOf(eventBits) }, next);
    },
    (next) => {
      commander.complete('le-set-event-mask', { mask: maskOf(leEventBits) }, next);
    },
    (next) => {
      if (address === undefined) {
        next();
        return;
      }
      commander.complete('le-set-random-address', { address }, ({ status }) => {
        if (status === hciErrors.success) next();
        else failed('LE Set Random Address', status);
      });
    },
    (next) => {
      if (!commands.has('le-write-default-data-length')) {
        next();
        return;
      }
      const length = { txOctets: dataLength, txTime: packetTime(dataLength) };
      commander.complete('le-write-default-data-length', length, next);
    },
  ];

  const run = (index: number): void => {
    const step = steps[index];
    if (step !== undefined) {
      step(() => {
        run(index + 1);
      });
      return;
    }
    bug(acl !== undefined, 'no step may leave the buffers unknown');
    const { aclLength, aclCount } = acl;
    done({ commands, features, aclLength, aclCount, publicAddress, version }, '');
  };
  run(0);
}

function maskOf(bits: readonly number[]): Bytes {
  const mask = new Uint8Array(8);
  for (const bit of bits) mask[bit >> 3] = (mask[bit >> 3] ?? 0) | (1 << (bit & 7));
  return mask;
}
