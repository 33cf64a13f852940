/** Words that C99 or C++ keep for themselves, and the names of fixed-width types. */
const reserved: ReadonlySet<string> = new Set(
  (
    'alignas alignof and and_eq asm auto bitand bitor bool break case catch char class compl concept const constexpr ' +
    'const_cast continue co_await co_return co_yield decltype default delete do double dynamic_cast else enum explicit ' +
    'export extern false float for friend goto if inline int long mutable namespace new noexcept not not_eq nullptr ' +
    'operator or or_eq private protected public register reinterpret_cast requires restrict return short signed sizeof ' +
    'static static_assert static_cast struct switch template this thread_local throw true try typedef typeid typename ' +
    'union unsigned using virtual void volatile wchar_t while xor xor_eq main errno'
  ).split(' '),
);

/** `water-level` as a C name: `water_level`; with `_` behind it where C or C++ has the word already. */
export function snake(id: string): string {
  const name = id.replaceAll('-', '_');
  return reserved.has(name) ? `${name}_` : name;
}

/** Any text as upper-case words: `circuit 1` gives `CIRCUIT_1`; `undefined` when no letter or digit is left. */
export function upper(text: string): string | undefined {
  const words = text.normalize('NFKD').match(/[A-Za-z0-9]+/g);
  return words === null ? undefined : words.join('_').toUpperCase();
}

/**
 * The prefix of every name of a board: its name without the unit, as words. `Tank 01` of unit `01` gives `tank`.
 *
 * @param name the board's name with the unit in it
 */
export function prefixOf(name: string, unit: string): string {
  const plain = unit === '' ? name : name.split(unit).join(' ');
  const word =
    upper(plain)
      ?.toLowerCase()
      .replace(/^[0-9_]+/, '')
      .slice(0, 24)
      .replace(/_+$/, '') ?? '';
  return isPrefix(word) ? word : 'board';
}

/** What may be given as a prefix. */
export function isPrefix(text: string): boolean {
  return /^[a-z][a-z0-9_]{0,23}$/.test(text) && !taken.test(text) && !reserved.has(text);
}

/** Prefixes whose names or files would meet those of the runtime, of a port, or of C's own headers. */
const taken =
  /^(?:gw(?:_.*)?|app|stream|ring|startup|lockstep|machine|u?int(?:\d+|ptr|max|_.*)?(?:_t)?|size|ptrdiff|sig|wchar|wint|str|mem)$/;

/** Gives out names, each only once: a second `tank_set_x` becomes `tank_set_x_2`. */
export class Names {
  readonly #taken = new Set<string>();

  unique(wish: string): string {
    let name = wish;
    for (let i = 2; this.#taken.has(name); i++) name = `${wish}_${i}`;
    this.#taken.add(name);
    return name;
  }
}
