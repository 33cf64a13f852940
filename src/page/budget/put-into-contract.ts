import type { Fix } from '../../base/finding.ts';
import { showTime } from '../../base/quantity.ts';
import type { WhatIf } from '../../budget/what-if.ts';
import { withSpacing } from '../../budget/what-if.ts';
import { setKey, setKeys } from '../../contract/rules/edits.ts';
import { everyCharacteristic, type Contract, type NotifyPolicy, type Where } from '../../contract/model.ts';

/** The edits that make a contract what was tried, or why some of it cannot be written. */
export type Put = {
  readonly fix: Fix | undefined;
  /** Ids of values whose rate has no place of its own in the text: adopted as they are. */
  readonly left: readonly string[];
};

/**
 * What was tried, as edits of the contract's text by places; comments and layout around them stay.
 *
 * @param text the very text that `contract` was read from
 */
export function putIntoContract(text: string, contract: Contract, whatIf: WhatIf): Put {
  const left: string[] = [];
  const fixes: (Fix | undefined)[] = [radioFix(text, contract, whatIf)];
  for (const [id, spacing] of Object.entries(whatIf.spacings ?? {})) {
    const found = everyCharacteristic(contract).find(({ characteristic }) => characteristic.id === id)?.characteristic;
    if (found?.notify === undefined) continue;
    const fix = notifyFix(text, found.where, withSpacing(found.notify, spacing));
    if (fix === undefined) left.push(id);
    else fixes.push(fix);
  }
  const edits = fixes.flatMap((fix) => fix?.edits ?? []);
  return { fix: edits.length === 0 ? undefined : { title: 'Put into the contract', edits }, left };
}

function radioFix(text: string, contract: Contract, whatIf: WhatIf): Fix | undefined {
  const { interval, latency, timeout, mtu, dataLength, phy, advertisingInterval } = whatIf;
  const connection: Record<string, string> = {
    ...(interval === undefined ? {} : { interval: showTime(interval) }),
    ...(latency === undefined ? {} : { latency: String(latency) }),
    ...(timeout === undefined ? {} : { timeout: showTime(timeout) }),
    ...(mtu === undefined ? {} : { mtu: String(mtu) }),
    ...(phy === undefined ? {} : { phy }),
    ...(dataLength === undefined ? {} : { 'data-length': String(dataLength) }),
  };
  const advertise: Record<string, string> =
    advertisingInterval === undefined ? {} : { interval: showTime(advertisingInterval) };
  const { radio } = contract;
  const title = 'Radio parameters';
  const inside = (where: Where, values: Readonly<Record<string, string>>): Fix | undefined | 'absent' =>
    Object.keys(values).length === 0
      ? undefined
      : where.keys.size === 0
        ? 'absent'
        : setKeys(text, where, values, title);
  const parts = {
    advertise: inside(radio.advertise.where, advertise),
    connection: inside(radio.connection.where, connection),
  };
  // A mapping that is not in the text is written whole, into the one above it.
  const missing = Object.fromEntries(
    Object.entries({ advertise, connection })
      .filter(([name]) => parts[name as keyof typeof parts] === 'absent')
      .map(([name, values]) => [name, flow(values)]),
  );
  const above =
    Object.keys(missing).length === 0
      ? undefined
      : radio.where.keys.size === 0
        ? setKey(text, contract.where, 'radio', flow(missing), title)
        : setKeys(text, radio.where, missing, title);
  const edits = [parts.advertise, parts.connection, above].flatMap((fix) =>
    fix === undefined || fix === 'absent' ? [] : fix.edits,
  );
  return edits.length === 0 ? undefined : { title, edits };
}

function notifyFix(text: string, where: Where, policy: NotifyPolicy): Fix | undefined {
  const value = flow({
    on: policy.on.kind === 'change' ? 'change' : `every ${showTime(policy.on.period)}`,
    ...(policy.minSpacing === undefined ? {} : { 'at-most': rateText(policy.minSpacing) }),
  });
  const given = where.keys.get('notify');
  if (given === undefined) return setKey(text, where, 'notify', value, 'Rate');
  // A block's range may reach over the line end that closes it.
  let { end } = given.value;
  while (end > given.value.start && /\s/.test(text[end - 1] ?? '')) end -= 1;
  return { title: 'Rate', edits: [{ at: { start: given.value.start, end }, text: value }] };
}

function flow(values: Readonly<Record<string, string>>): string {
  const items = Object.entries(values).map(([key, value]) => `${key}: ${value}`);
  return `{ ${items.join(', ')} }`;
}

/** A rate in hertz for a shortest spacing in µs; exact for the rates that the page offers. */
function rateText(spacing: number): string {
  return `${Number((1_000_000 / spacing).toFixed(6))} Hz`;
}
