import { virtualHostedBoard } from '../../links/virtual-hosted-board.ts';
import type { MadeBoard } from '../../links/hosted-board.ts';
import type { OpenSource } from './board-source.ts';
import { hostedSource } from './hosted-source.ts';
import type { ModelOptions } from './model-board.ts';
import type { BoardWord } from './protocol.ts';
import { watchedRig } from './watched-rig.ts';

/** A board to be powered up, or why there is none for this table. */
export type MadeSource = Exclude<MadeBoard, { readonly ok: true }> | { readonly ok: true; readonly open: OpenSource };

/** A board behind a controller, across the virtual radio from the page: the model, or the engine, which takes no fault. */
export async function radioBoard(
  made: Exclude<BoardWord, 'model' | 'serial'>,
  options: ModelOptions,
): Promise<MadeSource> {
  const { table, world, fault, seed, clock } = options;
  const { rig, state } = watchedRig(world.rig);
  const result =
    made === 'radio'
      ? { ok: true as const, board: virtualHostedBoard(table, { clock, rig, seed, fault }) }
      : await (await import('../../links/wasm-board.ts')).makeBoard(table, { clock, rig, seed });
  if (!result.ok) return result;
  const open = hostedSource({
    table,
    board: result.board,
    clock,
    seed,
    rig: world.word,
    world: () => (world.word === 'wave-tank' ? state() : undefined),
  });
  return { ok: true, open };
}
