import type { JSX } from 'preact';
import { Attention } from './attention.tsx';
import { CaseBrowser } from './case-browser.tsx';
import { Certificate } from './certificate.tsx';
import { FamiliesTable } from './families-table.tsx';
import { PlantedFaults } from './planted-faults.tsx';
// The case first: what narrow windows and paper need stands at the end.
import caseStyles from './case.css?inline';
import proofStyles from './proof.css?inline';
import { adoptStyles } from '../styles/adopt.ts';

adoptStyles(caseStyles);
adoptStyles(proofStyles);

/** The proof: run and watched, its outcome as a certificate, what failed, every case, and faults to plant. */
export function ProofView(): JSX.Element {
  return (
    <div class="proof-view">
      <Certificate />
      <Attention />
      <FamiliesTable />
      <PlantedFaults />
      <CaseBrowser />
    </div>
  );
}
