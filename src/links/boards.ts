import type { MakeBoard } from './hosted-board.ts';

/** A kind of board that can stand behind a controller. */
export type BoardKind = {
  readonly name: string;
  readonly about: string;
  /** Loaded when it is asked for: some bring a compiler or an emulator. */
  readonly load: () => Promise<{ readonly makeBoard: MakeBoard }>;
};

/** Every kind, in the order help lists them. */
export const boardKinds: readonly BoardKind[] = [
  {
    name: 'virtual',
    about: 'the virtual board, in TypeScript',
    load: () => import('./virtual-hosted-board.ts'),
  },
  { name: 'wasm', about: 'the C runtime, prebuilt to WebAssembly', load: () => import('./wasm-board.ts') },
];
