import { computed, signal, type ReadonlySignal } from '@preact/signals';
import { board } from '../stores/board.ts';
import { values } from '../stores/values.ts';
import { instrumentOf } from './instrument-kind.ts';

/** The rig's window among the plates. */
export const rigName = '#rig';

/** Plates that are on the screen at first. */
const mostAtFirst = 3;

const pickedNow = signal<{ readonly board: number; readonly names: readonly string[] } | undefined>(undefined);

/** Names of what a projector shows: at first the rig and the instruments that move. */
export const chosenPlates: ReadonlySignal<readonly string[]> = computed(() => {
  const picked = pickedNow.value;
  const number = board.value?.number ?? 0;
  if (picked?.board === number) return picked.names;
  const origins = board.value?.plan.origins ?? {};
  const lively = values.value
    .filter(({ definition }) => origins[definition.service] === 'own')
    .filter(({ definition }) => ['dial', 'meter', 'counter'].includes(instrumentOf(definition)))
    .slice(0, mostAtFirst)
    .map(({ definition }) => definition.id);
  return board.value?.rig === 'wave-tank' ? [rigName, ...lively] : lively;
});

/** Puts a plate on the projector's screen or takes it away. */
export function choosePlate(name: string, on: boolean): void {
  const others = chosenPlates.peek().filter((one) => one !== name);
  pickedNow.value = { board: board.peek()?.number ?? 0, names: on ? [...others, name] : others };
}
