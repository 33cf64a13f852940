import { attenuation, gaugeDistance, steadyAmplitude, stroke, type WaveTank } from '../../../examples/wave-tank/rig.ts';

/** What of the tank's state its picture needs; `phase` in cycles may run on between two states. */
export type TankMotion = Pick<WaveTank, 'paddle' | 'wave' | 'phase' | 'lag' | 'amplitude'>;

/**
 * Metres above still water at `x` metres from the paddle. At the gauge it is what the gauge measures; the wave number is
 * the one of the dispersion relation, in which the rig's lag settles after a change.
 */
export function surfaceAt(tank: TankMotion, x: number): number {
  const height = tank.amplitude * Math.exp(attenuation * (gaugeDistance - x));
  return height * Math.sin(2 * Math.PI * tank.phase - (tank.lag * x) / gaugeDistance);
}

/** Metres the paddle stands from its middle: where the water beside it moves with it, a quarter wave behind the surface. */
export function paddleAt(tank: TankMotion): number {
  const steady = steadyAmplitude(tank.wave);
  if (steady === 0) return 0;
  const swing = (stroke / 2) * Math.min(1, tank.amplitude / steady);
  return -swing * Math.cos(2 * Math.PI * tank.phase);
}

/**
 * The phase that is drawn: it runs on at the wave's frequency and is drawn to the rig's by a part of what it is off, so
 * that messages that come unevenly do not shake the water. Cycles.
 *
 * @param elapsed seconds since the last drawing
 */
export function smoothPhase(drawn: number, told: number, frequency: number, elapsed: number): number {
  const next = drawn + frequency * elapsed;
  let off = (told - next) % 1;
  if (off > 0.5) off -= 1;
  if (off < -0.5) off += 1;
  return next + off * Math.min(1, 6 * elapsed);
}
