import fc from 'fast-check';
import { concat, u16le, type Bytes } from '../../../src/base/bytes.ts';
import type { Table, ValueDefinition } from '../../../src/table/model.ts';
import type { Happening } from './twin.ts';

/**
 * What clients do in several steps, which single happenings drawn at random hardly ever do in the right order: long
 * writes, queues filled, indications that wait, links lost, values read at a large MTU.
 */
export function arbitraryStory(table: Table): fc.Arbitrary<readonly Happening[]> {
  const stories: fc.Arbitrary<readonly Happening[]>[] = [
    fc.constant(largeReads(table)),
    fc.constant(databaseChanges(table)),
  ];
  const [writable, indicated, failing] = [
    table.values.filter(({ access }) => access.includes('write')),
    table.values.filter(({ access, cccd }) => access.includes('indicate') && cccd !== undefined),
    table.values.filter(({ onLinkLoss, access }) => onLinkLoss.kind === 'set' && access.includes('write')),
  ];
  if (writable.length > 0) {
    stories.push(
      fc.tuple(fc.constantFrom(...writable), fc.integer({ min: 1, max: 18 }), fc.nat(600)).map(longWrite),
      fc.tuple(fc.constantFrom(...writable), fc.integer({ min: 0, max: 18 })).map(fullQueue),
    );
  }
  if (indicated.length > 0) {
    const one = fc.constantFrom(...indicated);
    stories.push(fc.tuple(one, one, fc.boolean()).map(([a, b, stay]) => waiting(a, b, stay)));
  }
  if (failing.length > 0) {
    stories.push(fc.tuple(fc.constantFrom(...failing), fc.boolean()).map(([value, write]) => linkLost(value, write)));
  }
  return fc.oneof(...stories);
}

function receive(pdu: Bytes, place = 0): Happening {
  return { kind: 'receive', place, pdu };
}

function write(handle: number, value: Bytes): Happening {
  return receive(concat([0x12], u16le(handle), value));
}

/** The start value, or one of the greatest length, in parts that follow each other. */
function longWrite([value, size, length]: readonly [ValueDefinition, number, number]): readonly Happening[] {
  const { handle, start, maxLength, minLength } = value;
  const whole = minLength === maxLength ? start : new Uint8Array(Math.min(length, maxLength)).fill(0x61);
  const steps: Happening[] = [{ kind: 'open', place: 0 }];
  for (let at = 0; at < whole.length; at += size) {
    steps.push(receive(concat([0x16], u16le(handle), u16le(at), whole.subarray(at, at + size))));
  }
  return [...steps, receive(Uint8Array.of(0x18, 1))];
}

/** Parts until the queue of any table is full. */
function fullQueue([{ handle }, size]: readonly [ValueDefinition, number]): readonly Happening[] {
  const part = receive(concat([0x16], u16le(handle), u16le(0), new Uint8Array(size)));
  const parts = Array.from({ length: Math.ceil(1000 / (4 + size)) }, () => part);
  return [{ kind: 'open', place: 0 }, ...parts, receive(Uint8Array.of(0x18, 0))];
}

/** Two values indicated while nobody confirms; one may be unsubscribed meanwhile. */
function waiting(a: ValueDefinition, b: ValueDefinition, stay: boolean): readonly Happening[] {
  const steps: Happening[] = [
    { kind: 'open', place: 0 },
    { kind: 'secure', place: 0, level: 3, keySize: 16 },
  ];
  for (const value of [a, b]) steps.push(write(value.cccd ?? 0, u16le(2)));
  for (const value of [a, b, a]) {
    steps.push({ kind: 'set', index: value.index, value: changed(value) }, { kind: 'pass', time: 150_000 });
    steps.push({ kind: 'set', index: value.index, value: value.start }, { kind: 'pass', time: 150_000 });
    // What a link that is open again may not have waits until it is encrypted.
    steps.push({ kind: 'secure', place: 0, level: value === b ? 0 : 3, keySize: 16 });
  }
  steps.push(receive(Uint8Array.of(0x1e)), { kind: 'secure', place: 0, level: 3, keySize: 16 });
  if (!stay) steps.push(write(b.cccd ?? 0, u16le(0)));
  return [...steps, receive(Uint8Array.of(0x1e)), receive(Uint8Array.of(0x1e)), { kind: 'pass', time: 31_000_000 }];
}

/** A value other than the start value, of the same length where it can be. */
function changed({ start, maxLength }: ValueDefinition): Bytes {
  if (start.length === 0) return new Uint8Array(Math.min(2, maxLength)).fill(0x61);
  return start.map((octet, i) => (i === 0 ? octet ^ 1 : octet));
}

/** All go; somebody comes back and may write before the deadline; all go again. */
function linkLost({ handle, start }: ValueDefinition, written: boolean): readonly Happening[] {
  const go = [0, 1, 2].map((place): Happening => ({ kind: 'close', place, how: 'lost' }));
  const back: Happening[] = [
    { kind: 'pass', time: 400_000 },
    { kind: 'open', place: 0 },
    { kind: 'secure', place: 0, level: 3, keySize: 16 },
  ];
  const end: Happening[] = [{ kind: 'pass', time: 300_000 }, ...go, { kind: 'pass', time: 60_000_000 }];
  return [...go, ...back, ...(written ? [write(handle, start)] : []), ...end, { kind: 'open', place: 0 }];
}

/** Two changes of the database before the client confirms the first. */
function databaseChanges({ rows, values }: Table): readonly Happening[] {
  const own = new Set(values.map(({ cccd }) => cccd));
  const cccd = rows.find(({ handle, content }) => content.kind === 'cccd' && !own.has(handle))?.handle ?? 0;
  const features = rows.find(({ content }) => content.kind === 'client-supported-features')?.handle ?? 0;
  const confirm = receive(Uint8Array.of(0x1e));
  const read = receive(concat([0x0a], u16le(features)));
  const changes = [20, 10].map((start): Happening => ({ kind: 'database-changed', start, end: start + 10 }));
  return [
    { kind: 'open', place: 0 },
    write(cccd, u16le(2)),
    write(features, Uint8Array.of(1)),
    ...changes,
    confirm,
    read,
    confirm,
    read,
  ];
}

/** Everything listed at the largest MTU. */
function largeReads(table: Table): readonly Happening[] {
  const types = [0x2800, 0x2803, ...table.values.map(({ uuid }) => Number.parseInt(uuid, 16)).filter(Number.isInteger)];
  const byType = types.map((type) => receive(concat([0x08], u16le(1), u16le(0xffff), u16le(type & 0xffff))));
  const own = table.values.map(({ uuid }) => {
    const octets = uuid.replaceAll('-', '').match(/../g) ?? [];
    return receive(
      concat([0x08], u16le(1), u16le(0xffff), Uint8Array.from(octets, (octet) => Number.parseInt(octet, 16)).reverse()),
    );
  });
  return [
    { kind: 'open', place: 0 },
    { kind: 'secure', place: 0, level: 3, keySize: 16 },
    receive(concat([0x02], u16le(517))),
    ...byType,
    ...own,
  ];
}
