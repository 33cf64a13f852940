import { markOf, type Entry } from '../../ledger/entry.ts';

/** The lanes of the exchange, from left to right. */
export const lanes = ['central', 'link', 'board', 'rig'] as const;
export type LaneName = (typeof lanes)[number];

/** One step of the exchange: who reaches whom, and what is said beside it. */
export type Step = {
  readonly entry: Entry;
  readonly at: number;
  readonly from: LaneName;
  readonly to: LaneName;
  /** There and back: asked by the first, answered by the second. */
  readonly both: boolean;
  /** It did not arrive, or should not have been. */
  readonly broken: boolean;
  readonly words: string;
};

/** Who reaches whom by a line of the ledger. */
export function stepOf(entry: Entry): Step {
  const mark = markOf(entry);
  const base = { entry, at: entry.at, both: false, broken: mark === 'lost' };
  switch (entry.kind) {
    case 'truth':
      return { ...base, ...truthStep(entry.cause) };
    case 'air': {
      const isAsked = entry.way === 'read' || entry.way === 'written';
      return isAsked
        ? { ...base, at: entry.asked, from: 'central', to: 'board', both: entry.way === 'read', words: entry.way }
        : { ...base, from: 'board', to: 'central', words: entry.way };
    }
    case 'missing':
      return { ...base, from: 'board', to: 'link', broken: true, words: 'was due' };
    case 'refused': {
      const code = entry.code === undefined ? '' : ` 0x${entry.code.toString(16).padStart(2, '0')}`;
      const words = `${entry.access} refused${code}`;
      return { ...base, at: entry.asked, from: 'central', to: 'board', broken: true, words };
    }
    case 'link':
      return {
        ...base,
        from: entry.event === 'reset' ? 'board' : 'central',
        to: 'board',
        both: entry.event !== 'reset',
        broken: entry.event === 'disconnected',
        words: entry.event,
      };
  }
}

function truthStep(cause: string): Pick<Step, 'from' | 'to' | 'words'> {
  switch (cause) {
    case 'rig':
      return { from: 'rig', to: 'board', words: 'changed by the rig' };
    case 'air':
      return { from: 'board', to: 'board', words: 'changed by the write' };
    case 'start':
      return { from: 'board', to: 'board', words: 'held at the start' };
    default:
      return { from: 'board', to: 'board', words: `changed by the ${cause}` };
  }
}
