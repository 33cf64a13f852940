/** A dial is drawn in a field of this size, its axis at (x, y), its scale from the left over the top to the right. */
export const dialField = { width: 240, height: 126, x: 120, y: 112 } as const;

export type Point = { readonly x: number; readonly y: number };

/** The point at `radius` for a place on the scale. */
export function onDial(fraction: number, radius: number): Point {
  const angle = Math.PI * (1 + fraction);
  return { x: dialField.x + radius * Math.cos(angle), y: dialField.y + radius * Math.sin(angle) };
}

/** The place on the scale a point lies at: 0..1. Below the axis it is the nearer end. */
export function fractionAt({ x, y }: Point): number {
  const dx = x - dialField.x;
  const dy = y - dialField.y;
  if (dy >= 0) return dx < 0 ? 0 : 1;
  return 1 + Math.atan2(dy, dx) / Math.PI;
}

/** An arc along the scale as an SVG path. */
export function arcPath(start: number, end: number, radius: number): string {
  const a = onDial(start, radius);
  const b = onDial(end, radius);
  return `M${round(a.x)} ${round(a.y)}A${radius} ${radius} 0 0 1 ${round(b.x)} ${round(b.y)}`;
}

/** Degrees a hand that points up is turned by. */
export function handTurn(fraction: number): number {
  return 180 * fraction - 90;
}

export function round(x: number): number {
  return Math.round(x * 100) / 100;
}
