import { budgetPart, settingOf, type BudgetPart, type Setting } from '../../budget/budget.ts';
import type { FromWorker, ToWorker } from './protocol.ts';

type Asked = Extract<ToWorker, { kind: 'budget' }>;

/** The quick ones first: they follow a finger; the rooms and runs come when it rests. */
const order: readonly BudgetPart[] = [
  'problems',
  'energy',
  'memory',
  'air',
  'link',
  'delay',
  'found',
  'throughput',
  'room',
  'numbers',
];

let newest: Asked | undefined;
let isReckoning = false;
/** What each part was last reckoned from. */
const reckoned = new Map<BudgetPart, string>();

/**
 * Reckons a budget and tells its parts as they are ready. A question that comes meanwhile takes the place of the one under
 * way; a part whose inputs are as before is not reckoned again.
 */
export async function reckonBudget(asked: Asked, post: (message: FromWorker) => void): Promise<void> {
  newest = asked;
  if (isReckoning) return;
  isReckoning = true;
  try {
    for (let now: Asked | undefined = newest; now !== undefined; now = newest === now ? undefined : newest) {
      await reckonParts(now, post);
    }
  } finally {
    isReckoning = false;
  }
}

async function reckonParts(asked: Asked, post: (message: FromWorker) => void): Promise<void> {
  const { number, table, question, first } = asked;
  const setting = settingOf(table, question);
  const parts = first === undefined ? order : [first, ...order.filter((part) => part !== first)];
  for (const part of parts) {
    const inputs = inputsOf(part, setting);
    if (reckoned.get(part) === inputs) continue;
    // Messages that wait are looked at before the next part is begun.
    await new Promise((resolve) => setTimeout(resolve, 0));
    if (newest !== asked) return;
    post({ kind: 'budget-part', number, result: budgetPart(part, setting) });
    reckoned.set(part, inputs);
  }
  post({ kind: 'budget-done', number });
}

/** All that a part depends on, as text. */
function inputsOf(part: BudgetPart, { table, question, connection, streams, advertiser }: Setting): string {
  const { seed, supply, patterns, room } = question;
  switch (part) {
    case 'problems':
      return text(table.radio, question.packetErrorRate);
    case 'air':
    case 'delay':
      return text(connection, streams, table.values, seed);
    case 'link':
      return text(connection, streams, seed);
    case 'throughput':
      return text(connection, seed);
    case 'found':
      return text(advertiser, patterns, seed);
    case 'room':
      return text(advertiser, connection, streams, room, seed, table.radio.connection.interval);
    case 'energy':
      return text(advertiser, connection, streams, supply);
    case 'memory':
      return text(table.rows, table.values);
    case 'numbers':
      return text(table.values, table.radio.connection.mtu);
  }
}

function text(...inputs: readonly unknown[]): string {
  return JSON.stringify(inputs, (_, value: unknown) => (typeof value === 'bigint' ? value.toString() : value));
}
