import { engineBase64 } from './octets.ts';
import { webAssembly, type WasmModule } from './web-assembly.ts';

let compiled: Promise<WasmModule> | undefined;

/** The engine's module, compiled once for as many boards as there are. */
export function engineModule(): Promise<WasmModule> {
  compiled ??= webAssembly.compile(engineOctets());
  return compiled;
}

/** The octets of the engine's module as they are committed. */
export function engineOctets(): Uint8Array {
  return Uint8Array.from(atob(engineBase64.replace(/\s/g, '')), (character) => character.charCodeAt(0));
}
