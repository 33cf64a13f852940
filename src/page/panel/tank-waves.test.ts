import { describe, expect, it } from 'vitest';
import { gaugeDistance, steadyAmplitude, waveNumber } from '../../../examples/wave-tank/rig.ts';
import { paddleAt, smoothPhase, surfaceAt, type TankMotion } from './tank-waves.ts';

const running = (frequency: number, phase: number): TankMotion => ({
  paddle: frequency,
  wave: frequency,
  phase,
  lag: waveNumber(frequency) * gaugeDistance,
  amplitude: steadyAmplitude(frequency),
});

describe('the picture of the tank', () => {
  it('shows at the gauge what the gauge measures', () => {
    const tank = running(1.3, 0.31);
    expect(surfaceAt(tank, gaugeDistance)).toBeCloseTo(tank.amplitude * Math.sin(2 * Math.PI * 0.31 - tank.lag), 12);
  });

  it('has waves as long as the dispersion relation says', () => {
    const tank = running(2, 0.1);
    const length = (2 * Math.PI) / waveNumber(2);
    // From memory: in deep water the wavelength is g T² / 2π, here 0.39 m.
    expect(length).toBeCloseTo(9.81 / 4 / (2 * Math.PI), 2);
    const [near, far] = [surfaceAt(tank, 0.5), surfaceAt(tank, 0.5 + length)];
    expect(far / near).toBeCloseTo(Math.exp(-0.02 * length), 6);
  });

  it('lets the water beside the paddle move with it: fastest forward under a crest', () => {
    const crest = running(1, 0.25);
    const step = 1e-4;
    const speed =
      (paddleAt({ ...crest, phase: 0.25 + step }) - paddleAt({ ...crest, phase: 0.25 - step })) / (2 * step);
    expect(surfaceAt(crest, 0)).toBeGreaterThan(0);
    expect(speed).toBeCloseTo(2 * Math.PI * 0.05, 3);
    expect(paddleAt({ ...crest, wave: 0 })).toBe(0);
  });

  it('runs on between two messages, and comes back to what is told', () => {
    expect(smoothPhase(0.2, 0.25, 0.5, 0.1)).toBeCloseTo(0.25, 9);
    let phase = 0;
    for (let i = 0; i < 120; i++) phase = smoothPhase(phase, 0.98, 0, 1 / 60);
    // The shorter way round: back to -0.02, not on to 0.98.
    expect(phase).toBeCloseTo(-0.02, 3);
  });
});
