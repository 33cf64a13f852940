/**
 * What a C program calls and how much stack each function takes, as GCC's `-fcallgraph-info=su` writes it
 * (one file a unit, in VCG): nodes with `12 bytes (static)` in their label, edges by name.
 */
export type CallGraph = {
  /** Octets of stack of each function that is defined; one that is its file's own is named `file.c:name`. */
  readonly stack: ReadonlyMap<string, number>;
  readonly calls: ReadonlyMap<string, ReadonlySet<string>>;
  /** The file that each function stands in. */
  readonly files: ReadonlyMap<string, string>;
  /** Functions whose stack is not known beforehand. */
  readonly dynamic: readonly string[];
};

/** Calls through pointers. */
const indirect = '__indirect_call';

/** @param units the texts of the files */
export function readCallGraph(units: readonly string[]): CallGraph {
  const stack = new Map<string, number>();
  const calls = new Map<string, Set<string>>();
  const files = new Map<string, string>();
  const dynamic: string[] = [];
  for (const unit of units) {
    for (const [, title = '', label = ''] of unit.matchAll(/node: \{ title: "([^"]*)" label: "([^"]*)"/g)) {
      const [, octets, kind] = /(\d+) bytes \(([^)]*)\)/.exec(label) ?? [];
      if (octets === undefined) continue;
      // A function of its file's own has the file in its name, another one only in its label.
      const own = title.lastIndexOf(':');
      files.set(title, own > 0 ? title.slice(0, own) : (/\\n([^\\]*?):\d+:\d+/.exec(label)?.[1] ?? ''));
      stack.set(title, Math.max(stack.get(title) ?? 0, Number(octets)));
      if (kind !== 'static') dynamic.push(`${title}: ${kind}`);
    }
    for (const [, from = '', to = ''] of unit.matchAll(/edge: \{ sourcename: "([^"]*)" targetname: "([^"]*)"/g)) {
      const targets = calls.get(from) ?? new Set<string>();
      calls.set(from, targets.add(to));
    }
  }
  return { stack, calls, files, dynamic };
}

export type Deepest = { readonly octets: number; readonly path: readonly string[] };

/**
 * The deepest stack below a function.
 *
 * @param pointed what calls through pointers may reach from a file
 * @throws Error when a function can call itself
 */
export function deepestFrom(graph: CallGraph, root: string, pointed: (file: string) => readonly string[]): Deepest {
  const known = new Map<string, Deepest>();
  const under: string[] = [];
  const visit = (name: string): Deepest => {
    const found = known.get(name);
    if (found !== undefined) return found;
    if (under.includes(name)) throw new Error(`recursion: ${[...under, name].join(' > ')}`);
    under.push(name);
    let below: Deepest = { octets: 0, path: [] };
    const direct = [...(graph.calls.get(name) ?? [])];
    const all = direct.flatMap((target) =>
      target === indirect ? pointed(graph.files.get(name) ?? '').map((pointer) => named(graph, pointer)) : [target],
    );
    for (const target of all) {
      const deeper = visit(target);
      if (deeper.octets > below.octets) below = deeper;
    }
    under.pop();
    const deepest = { octets: (graph.stack.get(name) ?? 0) + below.octets, path: [name, ...below.path] };
    known.set(name, deepest);
    return deepest;
  };
  return visit(named(graph, root));
}

/** The function of that name, also where it is a file's own. */
function named({ stack }: CallGraph, name: string): string {
  const found = [...stack.keys()].filter((title) => title === name || title.endsWith(`:${name}`));
  if (found.length !== 1 || found[0] === undefined) throw new Error(`${found.length} functions are named ${name}`);
  return found[0];
}
