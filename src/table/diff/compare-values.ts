import { equalBytes } from '../../base/bytes.ts';
import { showTime, type Microseconds } from '../../base/quantity.ts';
import { unreachable } from '../../base/bug.ts';
import { isWeaker } from '../../contract/rules/access.ts';
import { shortestSpacing } from '../../contract/rules/rate.ts';
import type { AccessWord, Need, NotifyPolicy, OnLinkLoss } from '../../contract/model.ts';
import { showBytes } from '../../values/show.ts';
import type { ValueType } from '../../values/type.ts';
import type { ValueDefinition } from '../model.ts';
import type { Difference } from './change.ts';
import { compareTypes, type Use } from './compare-types.ts';

/** How two definitions of one value differ to a client: type, access, needs, rates, and what the board does by itself. */
export function compareValues(old: ValueDefinition, next: ValueDefinition): readonly Difference[] {
  const inBoth = (word: AccessWord): boolean => old.access.includes(word) && next.access.includes(word);
  const use: Use = {
    seen: inBoth('read') || inBoth('notify') || inBoth('indicate'),
    written: inBoth('write') || inBoth('write-without-response'),
  };
  const types = isFixedText(old) && isFixedText(next) ? [] : compareTypes(old.type, next.type, use);
  const sameCoding = !types.some(({ kind }) => recoded.has(kind));
  return [
    ...compareAccess(old, next),
    ...types,
    ...compareNeeds(old, next, use),
    ...compareNotify(old.notify, next.notify),
    ...(sameCoding ? compareBoardSide(old, next) : []),
    ...compareRefusals(old, next, use),
  ];
}

/** A text that the contract itself gives, such as the maker's name: its length is nobody's promise. */
function isFixedText({ type, access, start }: ValueDefinition): boolean {
  return type.kind === 'text' && access.join() === 'read' && type.maxLength === start.length;
}

/** Differences after which the same octets mean another value, so that values cannot be compared. */
const recoded: ReadonlySet<string> = new Set([
  'type-changed',
  'scale-changed',
  'unit-changed',
  'fields-changed',
  'length-changed',
  'names-moved',
]);

function compareAccess(old: ValueDefinition, next: ValueDefinition): readonly Difference[] {
  const removed = old.access.filter((word) => !next.access.includes(word));
  const added = next.access.filter((word) => !old.access.includes(word));
  return [
    ...removed.map((word): Difference => ({
      effect: 'breaks',
      kind: 'access-removed',
      reason: `it had \`${word}\` and has it no more`,
      client: refusedWay(word),
      remedy: `keep \`${word}\` in \`access\``,
    })),
    ...added.map((word): Difference => ({
      effect: 'keeps-working',
      kind: 'access-added',
      reason: `it has \`${word}\`, which is new`,
      client: 'it does not use what it does not know',
      remedy: 'nothing need be done',
    })),
  ];
}

function refusedWay(word: AccessWord): string {
  switch (word) {
    case 'read':
      return 'its reads are refused (0x02)';
    case 'write':
      return 'its writes are refused (0x03)';
    case 'write-without-response':
      return 'its writes without response are dropped without a word';
    case 'notify':
    case 'indicate':
      return 'its subscription is refused, or finds no descriptor to write to';
  }
  return unreachable(word);
}

const ways = [
  ['read', 'reading', 'its reads are refused until it pairs'],
  ['write', 'writing', 'its writes are refused until it pairs'],
  ['subscribe', 'subscribing', 'its subscription is refused until it pairs'],
] as const;

function compareNeeds(old: ValueDefinition, next: ValueDefinition, use: Use): readonly Difference[] {
  const applies = {
    read: old.access.includes('read') && next.access.includes('read'),
    write: use.written,
    subscribe: old.cccd !== undefined && next.cccd !== undefined,
  };
  return ways.flatMap(([way, called, refused]): readonly Difference[] => {
    const was: Need = old.needs[way];
    const is: Need = next.needs[way];
    if (was === is || !applies[way]) return [];
    const reason = `${called} needed a link that is ${was} and needs one that is ${is}`;
    return isWeaker(was, is)
      ? [
          {
            effect: 'breaks',
            kind: 'needs-raised',
            reason,
            client: refused,
            remedy: 'check that every client can pair, and tell people that they will be asked',
          },
        ]
      : [
          {
            effect: 'keeps-working',
            kind: 'needs-lowered',
            reason,
            client: 'it notices nothing, but others may now get in',
            remedy: 'make sure that this is meant',
          },
        ];
  });
}

function compareNotify(old: NotifyPolicy | undefined, next: NotifyPolicy | undefined): readonly Difference[] {
  if (old === undefined || next === undefined) return [];
  const was = showPolicy(old);
  const is = showPolicy(next);
  if (was === is) return [];
  const faster = (shortestSpacing(next) ?? 0) < (shortestSpacing(old) ?? 0);
  return [
    {
      effect: 'keeps-working',
      kind: 'rate-changed',
      reason: `it was sent ${was} and is sent ${is}`,
      client: faster ? 'it gets more notifications than it was made for' : 'it gets notifications at another rate',
      remedy: faster
        ? 'check that clients and the connection carry the new rate'
        : 'check what clients show between two notifications',
    },
  ];
}

function showPolicy({ on, minSpacing }: NotifyPolicy): string {
  const when = on.kind === 'change' ? 'on change' : `every ${showTime(on.period)}`;
  return minSpacing === undefined ? when : `${when}, at most once in ${showTime(minSpacing)}`;
}

/** What the board does by itself; no client depends on it to talk to the board. */
function compareBoardSide(old: ValueDefinition, next: ValueDefinition): readonly Difference[] {
  const differences: Difference[] = [];
  if (!equalBytes(old.start, next.start)) {
    differences.push({
      effect: 'keeps-working',
      kind: 'start-changed',
      reason: `its value at power-up was ${showBytes(old.type, old.start)} and is ${showBytes(next.type, next.start)}`,
      client: 'it reads the new value after a reset',
      remedy: 'check that nobody takes the old value for granted',
    });
  }
  const was = showLoss(old.onLinkLoss, old.type);
  const is = showLoss(next.onLinkLoss, next.type);
  if (was !== is) {
    differences.push({
      effect: 'keeps-working',
      kind: 'failsafe-changed',
      reason: `on link loss it ${was} and now it ${is}`,
      client: 'it finds another value when it comes back',
      remedy: 'check on the machine itself that the new behaviour is safe',
    });
  }
  return differences;
}

function showLoss(loss: OnLinkLoss, type: ValueType): string {
  switch (loss.kind) {
    case 'unsaid':
      return 'does what nobody has said';
    case 'keep':
      return 'keeps its value';
    case 'set':
      return `goes to ${showBytes(type, loss.raw)} within ${showWithin(loss.within)}`;
  }
}

function showWithin(within: Microseconds): string {
  return within === 0 ? '0 s' : showTime(within);
}

function compareRefusals(old: ValueDefinition, next: ValueDefinition, use: Use): readonly Difference[] {
  if (!use.written || old.refuseWith === next.refuseWith) return [];
  const hex = (code: number): string => `0x${code.toString(16).toUpperCase()}`;
  return [
    {
      effect: 'keeps-working',
      kind: 'refusal-changed',
      reason: `a value out of range was refused with ${hex(old.refuseWith)} and is refused with ${hex(next.refuseWith)}`,
      client: 'it sees an error as before, with another number',
      remedy: 'check whether clients look at the number',
    },
  ];
}
