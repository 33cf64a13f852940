/** Rates that a slider offers, hertz; each is a whole number of microseconds apart. */
export const offeredRates: readonly number[] = [0.1, 0.2, 0.5, 1, 2, 4, 5, 10, 20, 25, 40, 50, 100, 200, 250, 500];
