import { depth, gaugeDistance, type WaveTank } from '../../../examples/wave-tank/rig.ts';
import { inks, type Inks } from './inks.ts';
import { paddleAt, surfaceAt, type TankMotion } from './tank-waves.ts';

/** Metres of air over the water, and of floor under it, that are drawn. */
const air = 0.17;
const floor = 0.015;
/** Metres from the picture's left edge to the paddle's middle. */
const behind = 0.14;

export type TankSize = {
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  /** CSS pixels a metre, the same both ways. */
  readonly scale: number;
};

/** The picture of the tank for a width and the most height: to scale, and long enough to show the gauge. */
export function tankSize(width: number, mostHeight: number): TankSize {
  const scale = Math.min(mostHeight / (depth + air + floor), width / (gaugeDistance + behind + 0.25));
  return { width, height: Math.round((depth + air + floor) * scale), scale };
}

/** The dyes as they look in water under light: fluorescein yellow-green, rhodamine pink. By code of `dye`. */
const dyes: readonly (readonly [number, number, number] | undefined)[] = [undefined, [120, 190, 20], [224, 60, 120]];
const lampLight = 'rgba(255, 214, 110, 0.32)';

/** Draws the tank as its rig says it is. */
export function drawTank(ctx: CanvasRenderingContext2D, size: TankSize, tank: WaveTank, motion: TankMotion): void {
  const { width, height, scale } = size;
  const ink = inks();
  const still = air * scale;
  const bottom = (air + depth) * scale;
  const zero = behind * scale;
  const toX = (metres: number): number => zero + metres * scale;
  const lit = tank.light > 0;
  ctx.clearRect(0, 0, width, height);
  ctx.lineWidth = 1;
  ctx.font = '12px "IBM Plex Sans", system-ui, sans-serif';

  const lampX = toX(gaugeDistance / 2);
  if (lit) drawCone(ctx, lampX, bottom, scale);

  const paddleX = toX(paddleAt(motion));
  const surface = (x: number): number => still - surfaceAt(motion, (x - zero) / scale) * scale;
  ctx.beginPath();
  ctx.moveTo(paddleX, surface(paddleX));
  for (let x = paddleX; x < width; x += 2) ctx.lineTo(x, surface(x));
  ctx.lineTo(width, surface(width));
  ctx.lineTo(width, bottom);
  ctx.lineTo(paddleX, bottom);
  ctx.closePath();
  ctx.fillStyle = waterColour(tank);
  ctx.fill();
  // Behind the paddle the water stands.
  ctx.fillRect(0, still, paddleX, bottom - still);

  ctx.beginPath();
  for (let x = paddleX; x < width; x += 2) ctx.lineTo(x, surface(x));
  ctx.strokeStyle = ink.board;
  ctx.lineWidth = 2;
  ctx.stroke();

  ctx.fillStyle = ink.ink;
  ctx.fillRect(0, bottom, width, 1.5);
  drawDashes(ctx, ink, still, width);
  drawLamp(ctx, ink, lampX, scale, lit);
  drawPaddle(ctx, ink, paddleX, still, bottom, scale);
  drawGauge(ctx, ink, toX(gaugeDistance), still, surface(toX(gaugeDistance)), bottom, scale);
}

/** Dyed water is strong under the lamp and dull without it. */
function waterColour({ dye, light }: WaveTank): string {
  const colour = dyes[dye];
  if (colour === undefined) return light > 0 ? 'rgba(90, 160, 190, 0.30)' : 'rgba(90, 140, 170, 0.16)';
  return `rgba(${colour.join(', ')}, ${light > 0 ? 0.62 : 0.3})`;
}

function drawCone(ctx: CanvasRenderingContext2D, x: number, bottom: number, scale: number): void {
  ctx.fillStyle = lampLight;
  ctx.beginPath();
  ctx.moveTo(x - 0.04 * scale, 0.06 * scale);
  ctx.lineTo(x + 0.04 * scale, 0.06 * scale);
  ctx.lineTo(x + 0.62 * scale, bottom);
  ctx.lineTo(x - 0.62 * scale, bottom);
  ctx.fill();
}

function drawLamp(ctx: CanvasRenderingContext2D, ink: Inks, x: number, scale: number, lit: boolean): void {
  ctx.strokeStyle = ink.ink;
  ctx.fillStyle = lit ? '#ffd66e' : ink.paper;
  ctx.lineWidth = 1.5;
  ctx.beginPath();
  ctx.moveTo(x, 0);
  ctx.lineTo(x, 0.025 * scale);
  ctx.moveTo(x - 0.02 * scale, 0.025 * scale);
  ctx.lineTo(x + 0.02 * scale, 0.025 * scale);
  ctx.lineTo(x + 0.045 * scale, 0.06 * scale);
  ctx.lineTo(x - 0.045 * scale, 0.06 * scale);
  ctx.closePath();
  ctx.fill();
  ctx.stroke();
}

function drawDashes(ctx: CanvasRenderingContext2D, ink: Inks, y: number, width: number): void {
  ctx.strokeStyle = ink.rule;
  ctx.lineWidth = 1;
  ctx.setLineDash([2, 6]);
  ctx.beginPath();
  ctx.moveTo(0, Math.round(y) + 0.5);
  ctx.lineTo(width, Math.round(y) + 0.5);
  ctx.stroke();
  ctx.setLineDash([]);
}

/** A piston: a plate as deep as the water, on a rod from the left. */
function drawPaddle(
  ctx: CanvasRenderingContext2D,
  ink: Inks,
  x: number,
  still: number,
  bottom: number,
  scale: number,
): void {
  const top = still - 0.1 * scale;
  const thick = Math.max(4, 0.014 * scale);
  ctx.fillStyle = ink.ink;
  ctx.fillRect(0, top + 0.02 * scale, x - thick, Math.max(3, 0.012 * scale));
  ctx.fillRect(x - thick, top, thick, bottom - top - 1);
}

/** A staff with a mark each centimetre; the board's square rides on the water it measures. */
function drawGauge(
  ctx: CanvasRenderingContext2D,
  ink: Inks,
  x: number,
  still: number,
  surface: number,
  bottom: number,
  scale: number,
): void {
  const top = still - 0.14 * scale;
  ctx.strokeStyle = ink.ink;
  ctx.lineWidth = 1.5;
  ctx.beginPath();
  ctx.moveTo(x, top);
  ctx.lineTo(x, bottom - 0.06 * scale);
  ctx.stroke();
  ctx.lineWidth = 1;
  ctx.beginPath();
  for (let mark = -10; mark <= 10; mark++) {
    const y = still - (mark / 100) * scale;
    ctx.moveTo(x, y);
    ctx.lineTo(x + (mark % 5 === 0 ? 10 : 5), y);
  }
  ctx.stroke();
  ctx.fillStyle = ink.soft;
  ctx.textAlign = 'left';
  ctx.textBaseline = 'middle';
  for (const mark of scale < 300 ? [-10, 10] : [-10, -5, 5, 10]) {
    ctx.fillText(`${mark < 0 ? '−' : '+'}${Math.abs(mark)} cm`, x + 15, still - (mark / 100) * scale);
  }
  const half = Math.max(4.5, 0.012 * scale);
  ctx.fillStyle = ink.board;
  ctx.fillRect(x - half, surface - half, 2 * half, 2 * half);
}
