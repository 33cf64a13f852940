import { computed, effect, type ReadonlySignal } from '@preact/signals';
import { everyCharacteristic } from '../../contract/model.ts';
import { lastGood } from '../stores/contract.ts';
import { cursor } from './editor/editor-handle.ts';

/** Id of the characteristic that the editor's cursor stands in. */
export const currentValue: ReadonlySignal<string | undefined> = computed(() => {
  const compiled = lastGood.value;
  if (compiled === undefined) return undefined;
  const at = cursor.value;
  return everyCharacteristic(compiled.contract).find(({ characteristic: { where } }) => {
    return at >= where.self.start && at <= where.self.end;
  })?.characteristic.id;
});

/** Keeps the sheet's entry of the cursor's characteristic in sight while the sheet stands beside the editor. */
export function followCursor(): () => void {
  return effect(() => {
    const id = currentValue.value;
    if (id === undefined || document.activeElement?.classList.contains('contract-code') !== true) return;
    if (!matchMedia('(min-width: 1000px)').matches) return;
    document.getElementById(`sheet-${id}`)?.scrollIntoView({ block: 'nearest' });
  });
}
