/** An octet as the standard prints it: `0x0A`. */
export function hex8(value: number): string {
  return `0x${value.toString(16).toUpperCase().padStart(2, '0')}`;
}

/** A handle as the standard prints it: `0x002A`. */
export function hex16(value: number): string {
  return `0x${value.toString(16).toUpperCase().padStart(4, '0')}`;
}
