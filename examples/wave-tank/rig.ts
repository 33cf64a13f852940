// The world behind the wave tank: a piston paddle at one end, a level gauge 1.2 m away, water 0.3 m deep.
//
// Waves follow linear (small amplitude) wave theory. Sources: R. G. Dean, R. A. Dalrymple, Water Wave Mechanics for
// Engineers and Scientists, World Scientific 1991, chapter 3 (dispersion relation) and chapter 6 (plane piston
// wavemaker); M. Miche, 1944, for the steepest wave that does not break. All from memory.
import type { Microseconds } from '../../src/base/quantity.ts';
import type { Rig } from '../../src/board/model.ts';

/** Metres, seconds, m/s². */
export const depth = 0.3;
export const gaugeDistance = 1.2;
const gravity = 9.81;
/** The paddle moves this far from end to end. */
export const stroke = 0.1;
/** Losses at walls and floor on the way to the gauge, 1/m. */
export const attenuation = 0.02;
/** How fast the water follows a change of the paddle, and comes to rest after it: time constant. */
const settling = 1.5;
/** Electrical noise of the gauge, standard deviation. */
const gaugeNoise = 0.0003;
/** A crest counts when the level has come from below minus this to above plus this. */
const hysteresis = 0.002;

/** Seconds: ten steps in a wave of the highest frequency. */
const step = 0.025;
/** In steps: the level is sampled at 20 Hz, temperature and battery once a second. */
const levelEvery = 2;
const slowEvery = 40;

/** Kelvin and seconds: the water wanders about the room's temperature, and the lamp warms it a little. */
const roomTemperature = 20;
const lampWarming = 0.8;
const waterInertia = 1200;
const waterWander = 0.15;

/** Percent of charge per second: the board alone, and what motor and lamp add. */
const idleDrain = 100 / (40 * 3600);
const motorDrain = 100 / (10 * 3600);
const lampDrain = 100 / (12 * 3600);

export type WaveTank = {
  readonly steps: number;
  /** Hertz as last commanded, and of the wave that is still running when the paddle stands. */
  readonly paddle: number;
  readonly wave: number;
  /** Cycles the wave has made at the paddle, and radians it lags behind at the gauge. */
  readonly phase: number;
  readonly lag: number;
  /** Metres, at the gauge. */
  readonly amplitude: number;
  readonly surface: number;
  /** The level has been below the lower threshold since the last crest. */
  readonly below: boolean;
  readonly crests: number;
  readonly temperature: number;
  readonly charge: number;
  readonly light: number;
  readonly dye: number;
};

/**
 * Wave number in rad/m from the dispersion relation ω² = g k tanh(k h), by Newton's method.
 *
 * @param frequency hertz, above 0
 */
export function waveNumber(frequency: number, waterDepth = depth): number {
  const target = (2 * Math.PI * frequency) ** 2 / gravity;
  // Deep and shallow water are the two ends; the larger of them is a start from which Newton's method converges.
  let k = Math.max(target, (2 * Math.PI * frequency) / Math.sqrt(gravity * waterDepth));
  for (let i = 0; i < 20; i++) {
    const th = Math.tanh(k * waterDepth);
    const slope = th + k * waterDepth * (1 - th * th);
    const change = (k * th - target) / slope;
    k -= change;
    if (Math.abs(change) < 1e-12 * k) break;
  }
  return k;
}

/**
 * Amplitude in metres at the gauge while the paddle runs steadily: the piston's height-to-stroke ratio
 * 2 (cosh 2kh - 1) / (sinh 2kh + 2kh), held below the breaking height 0.142 λ tanh(kh), less what is lost on the way.
 *
 * @param frequency hertz; 0 gives 0
 */
export function steadyAmplitude(frequency: number): number {
  if (frequency <= 0) return 0;
  const k = waveNumber(frequency);
  const kh = k * depth;
  // In deep water the ratio is 2 to all digits, and cosh would overflow.
  const ratio = kh > 15 ? 2 : (2 * (Math.cosh(2 * kh) - 1)) / (Math.sinh(2 * kh) + 2 * kh);
  const breaking = 0.142 * ((2 * Math.PI) / k) * Math.tanh(kh);
  return (Math.min(ratio * stroke, breaking) / 2) * Math.exp(-attenuation * gaugeDistance);
}

const dyeNames = ['no dye', 'fluorescein', 'rhodamine'];

/** What the tank says of the last change, at most 40 octets; `undefined` when nothing changed. */
function announcement(before: WaveTank, now: WaveTank): string | undefined {
  if (now.paddle !== before.paddle) {
    return now.paddle === 0 ? 'paddle stopped' : `paddle at ${Number(now.paddle.toFixed(2))} Hz`;
  }
  if (now.dye !== before.dye) return `dye: ${dyeNames[now.dye] ?? 'unknown'}`;
  if (now.light !== before.light) return now.light === 0 ? 'work light off' : 'work light on';
  return undefined;
}

/** Moves `value` towards `target` as a first-order lag does in `time`. */
function follow(value: number, target: number, time: number, constant: number): number {
  return target + (value - target) * Math.exp(-time / constant);
}

const rig: Rig<WaveTank> = {
  every: (step * 1e6) as Microseconds,

  start: (random) => ({
    steps: 0,
    paddle: 0,
    wave: 0,
    phase: 0,
    lag: 0,
    amplitude: 0,
    surface: 0,
    below: false,
    crests: 0,
    temperature: roomTemperature + 0.5 * random.normal(),
    charge: 90 + 9 * random.unit(),
    light: 0,
    dye: 0,
  }),

  step(before, world) {
    const steps = before.steps + 1;
    const paddle = world.number('paddle');
    const light = world.number('light');
    const wave = paddle > 0 ? paddle : before.wave;
    const phase = before.phase + wave * step;
    const amplitude = follow(before.amplitude, steadyAmplitude(paddle), step, settling);
    const lag = wave === 0 ? 0 : follow(before.lag, waveNumber(wave) * gaugeDistance, step, settling);
    const surface = amplitude * Math.sin(2 * Math.PI * phase - lag) + gaugeNoise * world.random.normal();

    const crest = before.below && surface > hysteresis;
    const below = surface < -hysteresis || (before.below && !crest);
    const crests = before.crests + (crest ? 1 : 0);
    if (crest) world.set('crests', crests);

    if (steps % levelEvery === 0) {
      world.set('level', world.number('calibration.gain') * surface + world.number('calibration.offset'));
    }

    let { temperature, charge } = before;
    const drain = idleDrain + (paddle > 0 ? motorDrain : 0) + (light > 0 ? lampDrain : 0);
    charge = Math.max(0, charge - drain * step);
    if (steps % slowEvery === 1) {
      const second = slowEvery * step;
      temperature = follow(temperature, roomTemperature + lampWarming * light, second, waterInertia);
      temperature += waterWander * Math.sqrt((2 * second) / waterInertia) * world.random.normal();
      world.set('water', temperature);
      world.set('battery-level', Math.round(charge));
    }

    const now: WaveTank = {
      steps,
      paddle,
      wave,
      phase: phase % 1,
      lag,
      amplitude,
      surface,
      below,
      crests,
      temperature,
      charge,
      light,
      dye: world.number('dye'),
    };
    const words = announcement(before, now);
    if (words !== undefined) world.set('note', words);
    return now;
  },
};

export default rig;
