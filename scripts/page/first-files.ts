import type { Plugin, Rollup } from 'vite';

/**
 * Puts what is needed at once into three files: what page and worker share, what the page alone needs, and what the worker
 * alone needs; and into a fourth what comes when the instruments stand. A dozen small ones compress worse and wait for
 * each other.
 */
export class FirstFiles {
  readonly #page: string;
  readonly #worker: string;
  #ofPage: ReadonlySet<string> = new Set();
  #ofWorker: ReadonlySet<string> = new Set();
  #ofNext: ReadonlySet<string> = new Set();
  readonly #next: string;

  /**
   * @param page file of the page's first module
   * @param worker file of the worker's
   * @param next file of what the page fetches when its instruments stand, and the worker with its checker
   */
  constructor(page: string, worker: string, next: string) {
    this.#page = page;
    this.#worker = worker;
    this.#next = next;
  }

  /** For the bundler; each asks what the plugin has found by then. */
  readonly groups = [
    { name: 'shared', priority: 3, test: (id: string): boolean => this.#ofPage.has(id) && this.#ofWorker.has(id) },
    { name: 'page', priority: 2, test: (id: string): boolean => this.#ofPage.has(id) },
    { name: 'bench', priority: 1, test: (id: string): boolean => this.#ofWorker.has(id) },
    { name: 'next', priority: 0, test: (id: string): boolean => this.#ofNext.has(id) },
  ];

  plugin(): Plugin {
    // The bundler calls it with itself as `this`.
    const take = (context: Rollup.PluginContext): void => {
      this.#ofPage = importedBy(this.#page, context);
      this.#ofWorker = importedBy(this.#worker, context);
      this.#ofNext = importedBy(this.#next, context);
    };
    return {
      name: 'first-files',
      apply: 'build',
      buildEnd() {
        take(this);
      },
    };
  }
}

/** The module with all that it imports at once, itself or through others. */
function importedBy(entry: string, context: Rollup.PluginContext): ReadonlySet<string> {
  const found = new Set<string>();
  const follow = (id: string): void => {
    if (found.has(id)) return;
    found.add(id);
    context.getModuleInfo(id)?.importedIds.forEach(follow);
  };
  follow(entry);
  return found;
}
