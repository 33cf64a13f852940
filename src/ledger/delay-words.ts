/** A delay for people: `15 ms`, `0.42 ms`, `1.25 s`, `-` for none. Three digits are as many as two clocks can promise. */
export function delayWords(us: number): string {
  if (Number.isNaN(us)) return '-';
  const size = Math.abs(us);
  if (size >= 999_500) return `${threeDigits(us / 1e6)} s`;
  return size >= 10 ? `${threeDigits(us / 1000)} ms` : '0 ms';
}

function threeDigits(value: number): string {
  return String(Number(value.toPrecision(3)));
}
