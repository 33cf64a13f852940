import { performance } from 'node:perf_hooks';
import { us } from '../src/base/quantity.ts';
import { runAdvertising } from '../src/budget/room/advertising-run.ts';
import { digits } from './measure.ts';

/** Advertising boards in one room: simulated seconds a second, for 1, 50 and 500 boards. @param seconds of room time */
export function benchRoom(seconds = 60): void {
  const advertiser = { interval: us(100_000), delay: us(10_000), packet: us(376), step: us(568) };
  for (const boards of [1, 50, 500]) {
    const start = performance.now();
    const { steps } = runAdvertising(advertiser, {
      boards,
      spread: us(100_000),
      duration: us(seconds * 1_000_000),
      scan: undefined,
      connectionInterval: us(30_000),
      seed: 1,
    });
    const elapsed = (performance.now() - start) / 1000;
    console.log(
      `  ${boards} boards: ${digits(seconds / elapsed)} simulated s/s, ${digits(steps / elapsed / 1e6)} million packets/s`,
    );
  }
}
