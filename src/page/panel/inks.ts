/** The page's colours for what is drawn on a canvas. */
export type Inks = {
  readonly paper: string;
  readonly ink: string;
  readonly soft: string;
  readonly hair: string;
  readonly rule: string;
  readonly board: string;
  readonly air: string;
};

const names = ['paper', 'ink', 'soft', 'hair', 'rule', 'board', 'air'] as const;
const dark = matchMedia('(prefers-color-scheme: dark)');
let known: Inks | undefined;
let knownFor = '';

/** Resolved for the theme in force; asked again at each drawing, so that a change of theme is drawn. */
export function inks(): Inks {
  const { theme: chosen = '', printing = '-' } = document.documentElement.dataset;
  const theme = `${chosen} ${printing} ${dark.matches}`;
  if (known === undefined || theme !== knownFor) {
    known = resolved();
    knownFor = theme;
  }
  return known;
}

/** A custom property is resolved to a colour only where it is used as one. */
function resolved(): Inks {
  const probe = document.createElement('span');
  probe.hidden = true;
  document.body.append(probe);
  const colours = names.map((name) => {
    probe.style.color = `var(--${name})`;
    return [name, getComputedStyle(probe).color] as const;
  });
  probe.remove();
  return Object.fromEntries(colours) as Inks;
}

/** Has a canvas drawn again for paper, and afterwards for the screen; at once, since the printer does not wait. */
export function onPrinting(redraw: () => void): () => void {
  addEventListener('beforeprint', redraw);
  addEventListener('afterprint', redraw);
  return () => {
    removeEventListener('beforeprint', redraw);
    removeEventListener('afterprint', redraw);
  };
}

/** True for who wants nothing on the screen to move by itself. */
export function wantsStill(): boolean {
  return matchMedia('(prefers-reduced-motion: reduce)').matches;
}
