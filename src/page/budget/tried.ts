import { batch, computed, signal, type ReadonlySignal } from '@preact/signals';
import type { Microseconds } from '../../base/quantity.ts';
import { inventedSupply, supplyPresets, type Supply, type SupplyKey } from '../../budget/energy/supply.ts';
import { scanPatterns, type ScanPattern } from '../../budget/found/scan.ts';
import type { WhatIf } from '../../budget/what-if.ts';
import { checked, contractText, editText, isChecked } from '../stores/contract.ts';
import { withFix } from '../stores/fixes.ts';
import { say } from '../stores/words.ts';
import { putIntoContract } from './put-into-contract.ts';

/** What no contract says: the air, the clients, the room, the parts. Never put into the contract. */
export type Surroundings = {
  /** Chance that one packet is lost, 0..0.9. */
  readonly packetErrorRate: number;
  /** `undefined`: as the contract’s values need it. */
  readonly encrypted: boolean | undefined;
  readonly scan: ScanPattern;
  readonly advertising: number;
  readonly connected: number;
  /** Name of the preset that the figures began with. */
  readonly preset: string;
  readonly supply: Supply;
};

const usual: Surroundings = {
  packetErrorRate: 0,
  encrypted: undefined,
  scan: scanPatterns.find(({ name }) => name === 'gateway') ?? scanPatterns[0],
  advertising: 30,
  connected: 30,
  preset: supplyPresets[0]?.name ?? '',
  supply: inventedSupply,
};

const triedNow = signal<WhatIf>({});
const surroundingsNow = signal<Surroundings>(usual);
const lastPut = signal<{ readonly before: string; readonly after: string; readonly tried: WhatIf } | undefined>(
  undefined,
);

/** What is tried of the contract. Nothing of it is in the text before it is put there. */
export const tried: ReadonlySignal<WhatIf> = triedNow;
export const surroundings: ReadonlySignal<Surroundings> = surroundingsNow;

/** True when something of the contract is tried. */
export const isTrying: ReadonlySignal<boolean> = computed(() => triedWords(triedNow.value).length > 0);

/** True while the last putting can be taken back: nobody has edited since. */
export const canTakeBack: ReadonlySignal<boolean> = computed(() => lastPut.value?.after === contractText.value);

export function tryOut(change: WhatIf): void {
  triedNow.value = { ...triedNow.peek(), ...change };
}

export function trySpacing(id: string, spacing: Microseconds): void {
  tryOut({ spacings: { ...triedNow.peek().spacings, [id]: spacing } });
}

export function surround(change: Partial<Surroundings>): void {
  surroundingsNow.value = { ...surroundingsNow.peek(), ...change };
}

export function choosePreset(name: string): void {
  const preset = supplyPresets.find((each) => each.name === name);
  if (preset !== undefined) surround({ preset: name, supply: preset.supply });
}

/** A figure at another likely value; its range keeps its shape. */
export function figure(key: SupplyKey, likely: number): void {
  const { supply } = surroundingsNow.peek();
  const { low, likely: before, high } = supply[key];
  const scale = before > 0 ? likely / before : 1;
  const most = key === 'usable' || key === 'selfDischargePerYear' ? 1 : Infinity;
  const span =
    before > 0
      ? { low: low * scale, likely, high: Math.min(most, high * scale) }
      : { low: likely, likely, high: likely };
  surround({ supply: { ...supply, [key]: span } });
}

/** Drops all that is tried of the contract. */
export function stopTrying(): void {
  triedNow.value = {};
}

/** Writes what is tried into the text in the editor, by places. The editor’s own undo takes it back, and so does {@link takeBack}. */
export function putTried(): void {
  const found = checked.peek();
  const compiled = found?.compiled;
  if (compiled === undefined || !isChecked.peek()) {
    say('refused', 'The contract has errors. When they are gone, this can be put into it.');
    return;
  }
  const before = contractText.peek();
  const whatIf = triedNow.peek();
  const { fix, left } = putIntoContract(before, compiled.contract, whatIf);
  if (left.length > 0) {
    say(
      'caution',
      `The rate of ${left.join(', ')} was not written: the contract uses it as the standard has it. Give it its own access and notify first.`,
    );
  }
  if (fix === undefined) return;
  const after = withFix(before, fix);
  batch(() => {
    editText(after);
    lastPut.value = { before, after, tried: whatIf };
    triedNow.value = {};
  });
}

/** The text as it was before the last putting; what was written is tried again. */
export function takeBack(): void {
  const put = lastPut.peek();
  if (put?.after !== contractText.peek()) return;
  batch(() => {
    editText(put.before);
    triedNow.value = put.tried;
    lastPut.value = undefined;
  });
}

/** What is tried, by the contract’s own keys. */
export function triedWords(whatIf: WhatIf): readonly (keyof WhatIf)[] {
  const { spacings, ...rest } = whatIf;
  const keys = (Object.keys(rest) as (keyof typeof rest)[]).filter((key) => rest[key] !== undefined);
  return spacings === undefined || Object.keys(spacings).length === 0 ? keys : [...keys, 'spacings'];
}
