import { virtualHostedBoard } from '../../links/virtual-hosted-board.ts';
import type { OpenSource } from './board-source.ts';
import { hostedSource } from './hosted-source.ts';
import type { ModelOptions } from './model-board.ts';
import { watchedRig } from './watched-rig.ts';

/** The model behind a controller, across the virtual radio from the page. */
export function radioBoard({ table, world, fault, seed, clock }: ModelOptions): OpenSource {
  const { rig, state } = watchedRig(world.rig);
  return hostedSource({
    table,
    board: virtualHostedBoard(table, { clock, rig, seed, fault }),
    clock,
    seed,
    rig: world.word,
    world: () => (world.word === 'wave-tank' ? state() : undefined),
  });
}
