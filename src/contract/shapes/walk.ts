import type { AnyRecord } from './shape.ts';

/** A record and all that occur within it, each once, in the order a reader meets them. */
export function recordsFrom(root: AnyRecord): readonly AnyRecord[] {
  const found: AnyRecord[] = [];
  const visit = (record: AnyRecord): void => {
    if (found.includes(record)) return;
    found.push(record);
    for (const field of Object.values(record.fields)) field.shape.records().forEach(visit);
  };
  visit(root);
  return found;
}
