import { signal } from '@preact/signals';
import type { ComponentType, JSX } from 'preact';
import { PanelView } from '../panel/index.tsx';
import { view, type ViewName } from '../stores/view.ts';

type Loaded = { readonly view: ComponentType } | { readonly failed: true };

const loaded = signal<Partial<Record<ViewName, Loaded>>>({ panel: { view: PanelView } });
/** The panel is seen first and comes with the page; the others are fetched when they are wanted, or at leisure. */
const loaders: Readonly<Record<ViewName, () => Promise<ComponentType>>> = {
  panel: () => Promise.resolve(PanelView),
  contract: async () => (await import('../contract/index.tsx')).ContractView,
  ledger: async () => (await import('../ledger/index.tsx')).LedgerView,
  proof: async () => (await import('../proof/index.tsx')).ProofView,
  budget: async () => (await import('../budget/index.tsx')).BudgetView,
};
const under = new Set<ViewName>();

/** Fetches a view's code; a second call while it is under way does nothing. */
export async function loadView(name: ViewName): Promise<void> {
  const known = loaded.peek()[name];
  if (under.has(name) || (known !== undefined && 'view' in known)) return;
  under.add(name);
  try {
    const component = await loaders[name]();
    loaded.value = { ...loaded.peek(), [name]: { view: component } };
  } catch {
    loaded.value = { ...loaded.peek(), [name]: { failed: true } };
  } finally {
    under.delete(name);
  }
}

/** The view that is shown now. */
export function ViewPlace(): JSX.Element {
  const name = view.value;
  const known = loaded.value[name];
  if (known === undefined) {
    void loadView(name);
    return <p class="shell-empty">This view is being fetched.</p>;
  }
  if ('failed' in known) {
    return (
      <p class="shell-empty">
        ▲ This view could not be fetched.{' '}
        <button type="button" onClick={() => void loadView(name)}>
          Try again
        </button>
      </p>
    );
  }
  const View = known.view;
  return <View />;
}
