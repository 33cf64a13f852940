import type { JSX } from 'preact';
import { showTime } from '../../base/quantity.ts';
import type { WhatIf } from '../../budget/what-if.ts';
import type { Compiled } from '../../table/compiled.ts';
import { isChecked } from '../stores/contract.ts';
import { contractNow, isReckoning, problems } from './reckoned.ts';
import { canTakeBack, isTrying, putTried, stopTrying, takeBack, tried } from './tried.ts';

/** What is tried of the contract, and the one act that writes it there. */
export function TryBar(): JSX.Element {
  const compiled = contractNow.value;
  const changes = compiled === undefined ? [] : changeWords(compiled, tried.value);
  const faults = problems.value;
  return (
    <section class="budget-try" aria-label="What is tried">
      <div class="budget-try-words">
        {changes.length === 0 ? (
          <p>
            This is the budget of the contract as it stands. Drag any input to see what becomes of it; nothing changes
            in the contract.
          </p>
        ) : (
          <p>
            Tried, not in the contract:{' '}
            {changes.map((change, i) => (
              <span key={change} class="budget-change">
                {change}
                {i < changes.length - 1 ? '; ' : ''}
              </span>
            ))}
          </p>
        )}
        {faults.length > 0 && (
          <ul class="budget-problems" role="alert">
            {faults.map(({ message, hint, source }) => (
              <li key={message}>
                ▲ {message}; {hint}. <span class="budget-source">{source}</span>
              </li>
            ))}
          </ul>
        )}
      </div>
      <div class="budget-try-acts">
        <span class="budget-state" role="status">
          {faults.length > 0 ? 'figures below are of the values before' : isReckoning.value ? 'reckoning…' : ''}
        </span>
        <button
          type="button"
          class="budget-put"
          disabled={!isTrying.value || faults.length > 0 || !isChecked.value}
          onClick={putTried}
        >
          Put into contract
        </button>
        <button type="button" disabled={!isTrying.value} onClick={stopTrying}>
          Drop what is tried
        </button>
        {canTakeBack.value && (
          <button type="button" onClick={takeBack}>
            Take it back out
          </button>
        )}
      </div>
    </section>
  );
}

function changeWords({ table }: Compiled, whatIf: WhatIf): readonly string[] {
  const { advertise, connection } = table.radio;
  const words: string[] = [];
  const tell = (name: string, before: string, after: string | undefined): void => {
    if (after !== undefined) words.push(`${name} ${before} → ${after}`);
  };
  const time = (value: WhatIf['interval']): string | undefined => (value === undefined ? undefined : showTime(value));
  tell('advertising interval', showTime(advertise.interval.max), time(whatIf.advertisingInterval));
  tell('connection interval', showTime(connection.interval.max), time(whatIf.interval));
  tell('latency', String(connection.latency), whatIf.latency?.toString());
  tell('timeout', showTime(connection.timeout), time(whatIf.timeout));
  tell('MTU', String(connection.mtu), whatIf.mtu?.toString());
  tell('data length', String(connection.dataLength), whatIf.dataLength?.toString());
  tell('PHY', connection.phy, whatIf.phy);
  for (const [id, spacing] of Object.entries(whatIf.spacings ?? {})) {
    const notify = table.values.find((value) => value.id === id)?.notify;
    const before = notify === undefined ? undefined : notify.on.kind === 'every' ? notify.on.period : notify.minSpacing;
    tell(`${id} every`, before === undefined ? 'change' : showTime(before), showTime(spacing));
  }
  return words;
}
