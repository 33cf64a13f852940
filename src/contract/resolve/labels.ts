/** The id as a person would write it: `water-level` is `Water level`. */
export function idAsLabel(id: string): string {
  const words = id.replace(/-+/g, ' ').trim();
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}
