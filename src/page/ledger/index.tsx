import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { adoptStyles } from '../styles/adopt.ts';
import { Controls } from './controls.tsx';
import { Lanes } from './lanes.tsx';
import { followLedger } from './ledger-store.ts';
import styles from './ledger.css?inline';
import { RecordingsList } from './recordings-list.tsx';
import { Sequence } from './sequence.tsx';
import { Statistics } from './statistics.tsx';

adoptStyles(styles);

/** The ledger: truth and air side by side, the session in figures, the exchange step by step, and recordings. */
export function LedgerView(): JSX.Element {
  useEffect(() => followLedger(), []);
  return (
    <div class="ledger-view">
      <Controls />
      <Lanes />
      <Sequence />
      <Statistics />
      <RecordingsList />
    </div>
  );
}
