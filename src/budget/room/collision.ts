/**
 * Chance that a packet of `packet` µs meets none of the others when `others` more advertisers send one of the same length
 * on the same channel every `mean` µs on average, at independent phases: (1 - 2 packet / mean)^others.
 *
 * Vulnerable time of two packets lengths as in pure ALOHA (Abramson 1970); derived here, not published for advertising.
 */
export function survival(packet: number, mean: number, others: number): number {
  return Math.max(0, 1 - (2 * packet) / mean) ** others;
}

/** Pure ALOHA: throughput at an offered load of G packets a packet time, G e^(-2G); at most 1 / (2e) at G = 0.5. */
export function alohaThroughput(load: number): number {
  return load * Math.exp(-2 * load);
}

/** The most advertisers at which {@link survival} is still `least`. Infinity when packets take no time. */
export function mostAdvertisers(packet: number, mean: number, least: number): number {
  const each = 1 - (2 * packet) / mean;
  return each <= 0 ? 1 : 1 + Math.floor(Math.log(least) / Math.log(each) + 1e-9);
}

/** The shortest mean time between events at which `others` more leave a packet the survival `least`. */
export function meanForSurvival(packet: number, others: number, least: number): number {
  return others === 0 ? 0 : (2 * packet) / (1 - least ** (1 / others));
}

/** Channels that data may hop over. Core Vol 6 Part B 1.4.1. */
export const dataChannels = 37;

/**
 * Chance that one connection event of `busy` µs every `interval` µs meets one of `others` like it in other connections:
 * times overlap with chance 2 busy / interval, and then both are on one of 37 channels.
 *
 * Averaged over phases; connections of one interval keep theirs for long, so single pairs fare much better or worse.
 */
export function eventCollision(busy: number, interval: number, others: number, channels = dataChannels): number {
  return 1 - (1 - Math.min(1, (2 * busy) / interval) / channels) ** others;
}

/** The most connections at which {@link eventCollision} is at most `most`. */
export function mostConnections(busy: number, interval: number, most: number): number {
  const each = 1 - Math.min(1, (2 * busy) / interval) / dataChannels;
  return 1 + Math.floor(Math.log(1 - most) / Math.log(each) + 1e-9);
}
