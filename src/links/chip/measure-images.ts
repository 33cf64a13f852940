import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Table } from '../../table/model.ts';
import { buildImage } from './image.ts';

/** Octets of a whole image: flash = text + data, RAM = data + bss, the stack's 4 KiB in it. */
export type ImageSize = {
  readonly port: 'rp2040' | 'microbit';
  readonly toolchain: string;
  readonly flash: number;
  readonly ram: number;
};

/** The sizes; or in one sentence why there are none, and what to do. */
export type MeasuredImages =
  | { readonly ok: true; readonly images: readonly ImageSize[] }
  | { readonly ok: false; readonly why: string; readonly remedy: string };

/** Builds the firmware of a contract for each chip, as a user does, and reads how large it is. Some seconds. */
export function measureImages(table: Table): MeasuredImages {
  const images: ImageSize[] = [];
  for (const port of ['rp2040', 'microbit'] as const) {
    const folder = mkdtempSync(join(tmpdir(), 'gattwright-image-'));
    try {
      const built = buildImage(table, folder, port);
      if (!built.ok) return built;
      const sizes = said('arm-none-eabi-size', [`${built.image}.elf`]).split('\n')[1] ?? '';
      const [text = 0, data = 0, bss = 0] = sizes.trim().split(/\s+/).map(Number);
      images.push({ port, toolchain: toolchain(), flash: text + data, ram: data + bss });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
  return { ok: true, images };
}

function toolchain(): string {
  const version = /\d+\.\d+\.\d+/.exec(said('arm-none-eabi-gcc', ['--version']))?.[0] ?? '';
  return `arm-none-eabi-gcc ${version}`;
}

function said(program: string, args: readonly string[]): string {
  return spawnSync(program, args, { encoding: 'utf8' }).stdout;
}
