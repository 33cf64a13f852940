import type { JSX } from 'preact';
import { checked } from '../stores/contract.ts';
import { adoptStyles } from '../styles/adopt.ts';
import { BatteryPlot } from './battery-plot.tsx';
import budgetStyles from './budget.css?inline';
import { DelayPlot } from './delay-plot.tsx';
import { FoundPlot } from './found-plot.tsx';
import { LinkPlot } from './link-plot.tsx';
import { contractNow, followBudget } from './reckoned.ts';
import { RoomPlot } from './room-plot.tsx';
import { AirSheet, MemorySheet, NumbersSheet } from './small-sheets.tsx';
import { TryBar } from './try-bar.tsx';

adoptStyles(budgetStyles);

/** What the contract costs: one sheet of plots, each with its inputs, table, formula and end. */
export function BudgetView(): JSX.Element {
  return (
    <div class="budget-view" ref={begin}>
      <h2 class="unseen">Budget</h2>
      {contractNow.value === undefined ? (
        <p class="shell-empty">
          {checked.value === undefined
            ? 'The budget of the contract will be here.'
            : '▲ The contract has errors. When they are gone, its budget is here.'}
        </p>
      ) : (
        <>
          <TryBar />
          <div class="budget-plots">
            <LinkPlot />
            <DelayPlot />
            <FoundPlot />
            <RoomPlot />
            <BatteryPlot />
            <div class="budget-small">
              <AirSheet />
              <NumbersSheet />
              <MemorySheet />
            </div>
          </div>
          <p class="budget-caution">
            ▲ A budget is arithmetic, not a measurement. A radio link is not a safety function: stops and limits belong
            in hardware. Use a certified radio module and obey local radio regulations and the rules of your house;
            neither raise its power nor alter its antenna. Cells can burn and leak: follow their maker’s limits.
          </p>
        </>
      )}
    </div>
  );
}

/** Tells the styles how high the link line is, below which the bar of what is tried stays. Returns how to stop. */
function followLinkLine(element: HTMLElement): () => void {
  const line = document.querySelector('.link-line');
  if (line === null) return () => undefined;
  const observer = new ResizeObserver(() => {
    element.style.setProperty('--budget-top', `${line.getBoundingClientRect().height}px`);
  });
  observer.observe(line);
  return () => {
    observer.disconnect();
  };
}

let stop: (() => void) | undefined;

/** What the view follows while it is shown. */
function begin(element: HTMLElement | null): void {
  stop?.();
  if (element === null) {
    stop = undefined;
    return;
  }
  const stops = [followBudget(), followLinkLine(element)];
  stop = () => {
    for (const each of stops) each();
  };
}
