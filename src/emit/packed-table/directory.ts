import type { Handle } from '../../table/model.ts';
import { Octets } from './octets.ts';

/** A chapter without attributes. */
const noPage = 0xff;

/**
 * Chapters and directory: where the row of a handle is.
 *
 * @param handles ascending
 */
export function packDirectory(handles: readonly Handle[]): { readonly chapters: Octets; readonly pages: Octets } {
  const last = handles.at(-1) ?? 0;
  const rows = new Map(handles.map((handle, row) => [handle, row]));
  const chapters = new Octets();
  const pages = new Octets();
  let used = 0;
  let row = 0;
  for (let chapter = 0; chapter <= last >> 8; chapter++) {
    const first = chapter << 8;
    if (!handles.some((handle) => handle >> 8 === chapter)) {
      chapters.u8(noPage);
      continue;
    }
    chapters.u8(used++);
    for (let entry = first; entry < first + 256 && entry <= last; entry += 16) {
      let present = 0;
      const before = row;
      for (let bit = 0; bit < 16; bit++) {
        if (!rows.has(entry + bit)) continue;
        present |= 1 << bit;
        row += 1;
      }
      pages.u16(before, present);
    }
  }
  // What follows is read at even addresses.
  if (chapters.length % 2 !== 0) chapters.u8(noPage);
  return { chapters, pages };
}
