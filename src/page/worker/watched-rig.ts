import type { Rig } from '../../board/model.ts';

/** The same rig, with its newest state for who draws the world: a board behind a radio does not show it. */
export function watchedRig<State>(inner: Rig<State>): {
  readonly rig: Rig<State>;
  readonly state: () => State | undefined;
} {
  let newest: State | undefined;
  return {
    state: () => newest,
    rig: {
      every: inner.every,
      start: (random) => (newest = inner.start(random)),
      step: (state, world, elapsed) => (newest = inner.step(state, world, elapsed)),
    },
  };
}
