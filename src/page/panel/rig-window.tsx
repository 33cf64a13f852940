import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { waveNumber, type WaveTank } from '../../../examples/wave-tank/rig.ts';
import type { Batch } from '../worker/protocol.ts';
import { board } from '../stores/board.ts';
import { onBatch, rigState, values } from '../stores/values.ts';
import { presenting } from '../stores/view.ts';
import { knownBytes } from './draft.ts';
import { onPrinting, wantsStill } from './inks.ts';
import { physicalOfBytes } from './plate-text.ts';
import { drawTank, tankSize } from './tank-drawing.ts';
import { smoothPhase } from './tank-waves.ts';

/** The world behind the wave tank's board, to scale: what a write does can be seen. */
export function RigWindow(): JSX.Element | null {
  const place = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const number = board.value?.number;
  const large = presenting.value;
  useEffect(() => {
    if (place.current === null || canvas.current === null) return undefined;
    return animateTank(place.current, canvas.current, large);
  }, [number, large]);
  return (
    <section class="panel-rig" aria-labelledby="panel-rig-label" data-value="rig">
      <header class="panel-head">
        <h2 id="panel-rig-label" class="panel-label">
          The wave tank, to scale
        </h2>
        <TankWords />
      </header>
      <div class="panel-rig-scene" ref={place}>
        <canvas ref={canvas} role="img" aria-labelledby="panel-rig-label" />
        <Display />
      </div>
    </section>
  );
}

/** What is seen, in words: for who does not see it, and for who wants the numbers. */
function TankWords(): JSX.Element {
  const tank = rigState.value as WaveTank | undefined;
  if (tank === undefined) return <span class="panel-access">The world is about to begin</span>;
  const { paddle, light, dye } = tank;
  const wave =
    paddle > 0
      ? `paddle at ${paddle.toFixed(2)} Hz, waves of ${((2 * Math.PI) / waveNumber(paddle)).toFixed(2)} m`
      : 'paddle at rest';
  const dyeWord = ['clear water', 'fluorescein', 'rhodamine'][dye] ?? 'unknown dye';
  return (
    <span class="panel-access">
      {wave} · {light > 0 ? 'lamp on' : 'lamp off'} · {dyeWord}
    </span>
  );
}

/** The board's display: the caption that a client wrote. */
function Display(): JSX.Element | null {
  const caption = values.value.find(({ definition }) => definition.id === 'caption');
  if (caption === undefined) return null;
  const physical = physicalOfBytes(caption.definition.type, knownBytes(caption));
  const text = physical?.kind === 'text' ? physical.value : '';
  return (
    <p class={text === '' ? 'panel-display panel-nothing' : 'panel-display'}>
      {text === '' ? 'A caption you write stands here' : text}
    </p>
  );
}

/** Draws at each frame; a standing picture once a second for who wants nothing to move. Returns how to stop. */
function animateTank(place: HTMLElement, canvas: HTMLCanvasElement, large: boolean): () => void {
  const mostHeight = (): number => (large ? innerHeight * (innerHeight > 900 ? 0.28 : 0.2) : 208);
  const ctx = canvas.getContext('2d');
  if (ctx === null) return () => undefined;
  let size = tankSize(Math.max(1, place.clientWidth), mostHeight());
  let tank: WaveTank | undefined;
  let told = 0;
  let toldAt = 0;
  let phase = 0;
  let drawnAt = performance.now();
  let frame: number | undefined;

  const fit = (): void => {
    if (place.clientWidth === 0) return;
    size = tankSize(place.clientWidth, mostHeight());
    const ratio = devicePixelRatio;
    canvas.width = Math.round(size.width * ratio);
    canvas.height = Math.round(size.height * ratio);
    canvas.style.width = `${size.width}px`;
    canvas.style.height = `${size.height}px`;
    ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
    if (tank !== undefined) drawTank(ctx, size, tank, { ...tank, phase });
  };
  const draw = (): void => {
    const now = performance.now();
    if (tank !== undefined) {
      const frequency = tank.paddle > 0 ? tank.paddle : tank.wave;
      phase = smoothPhase(phase, told + frequency * ((now - toldAt) / 1000), frequency, (now - drawnAt) / 1000);
      drawTank(ctx, size, tank, { ...tank, phase });
    }
    drawnAt = now;
    frame = still ? undefined : requestAnimationFrame(draw);
  };
  const still = wantsStill();
  const take = ({ rig }: Pick<Batch, 'rig'>): void => {
    if (rig === undefined) return;
    const first = tank === undefined;
    tank = rig as WaveTank;
    told = tank.phase;
    toldAt = performance.now();
    if (first || still) phase = told;
    if (still && (first || toldAt - drawnAt > 1000)) draw();
  };
  const stopListening = onBatch(take);
  take({ rig: rigState.peek() });
  const stopPrinting = onPrinting(fit);
  const sizes = new ResizeObserver(fit);
  sizes.observe(place);
  fit();
  if (!still) frame = requestAnimationFrame(draw);
  return () => {
    stopListening();
    stopPrinting();
    sizes.disconnect();
    if (frame !== undefined) cancelAnimationFrame(frame);
  };
}
