/** A time of the session: `0:07.350`, `1:02:07.350`; without thousandths unless `fine`. */
export function sessionTime(us: number, fine = false): string {
  const sign = us < 0 ? '-' : '';
  const whole = Math.floor(Math.abs(us) / (fine ? 1000 : 1e6));
  const seconds = fine ? Math.floor(whole / 1000) : whole;
  const two = (n: number): string => String(n).padStart(2, '0');
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor(seconds / 60) % 60;
  const clock = hours > 0 ? `${hours}:${two(minutes)}` : String(minutes);
  const thousandths = fine ? `.${String(whole % 1000).padStart(3, '0')}` : '';
  return `${sign}${clock}:${two(seconds % 60)}${thousandths}`;
}

/** `15 s`, `5 min`. */
export function spanWords(us: number): string {
  return us < 60e6 ? `${us / 1e6} s` : `${us / 60e6} min`;
}

/** Round times for the axis: some five of them in the window. */
export function axisTicks(from: number, to: number, most: number): readonly number[] {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600].map((seconds) => seconds * 1e6);
  const step = steps.find((one) => (to - from) / one <= most) ?? 1800e6;
  const ticks: number[] = [];
  for (let at = Math.max(0, Math.ceil(from / step) * step); at <= to; at += step) ticks.push(at);
  return ticks;
}
