import { plainPalette, type Palette } from '../base/render-finding.ts';

const sgr =
  (...codes: readonly number[]) =>
  (text: string): string =>
    `\u001b[${codes.join(';')}m${text}\u001b[0m`;

/** Severities are told apart by their word as well, never by colour alone. */
const colours: Palette = {
  error: sgr(1, 31),
  warning: sgr(33),
  note: sgr(36),
  strong: sgr(1),
  quiet: sgr(2),
};

export function palette(coloured: boolean): Palette {
  return coloured ? colours : plainPalette;
}
