/**
 * What the page may load and run: its own files only. It stands in the page itself, so that it holds on any static
 * host, and our own server sends it too.
 *
 * No inline styles either: a library that makes `<style>` elements is given a shadow root, where it adopts constructed
 * sheets instead; single properties are set through `element.style`. The one thing compiled at run time is the firmware in
 * WebAssembly, which comes as one of the page's own files.
 */
export const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join('; ');
