import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Plugin, Rollup } from 'vite';
import { contentSecurityPolicy } from './content-security-policy.ts';

/** Octets after gzip that a first visit may load: all but the fonts, which come compressed and hold nothing up. */
const firstLoadLimit = 120_000;

/**
 * What the built page has besides its bundles: the content security policy in its head, the service worker with the
 * list of all files, and a limit on what a first visit loads.
 */
export function pageParts(): Plugin {
  let publicDir = '';
  return {
    name: 'page-parts',
    apply: 'build',
    configResolved(config) {
      publicDir = config.publicDir;
    },
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: contentSecurityPolicy },
        injectTo: 'head-prepend',
      },
    ],
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const parts = partsOf(bundle);
        for (const name of readdirSync(publicDir)) parts.set(name, readFileSync(join(publicDir, name)));
        this.emitFile({ type: 'asset', fileName: 'service-worker.js', source: serviceWorker(publicDir, parts) });
        const { lines, total } = firstLoad(parts);
        console.log(`First load of the page, without the editor:\n${lines.join('\n')}`);
        if (total > firstLoadLimit) {
          this.error(`the first load is ${kilobytes(total)}, at most ${kilobytes(firstLoadLimit)} are allowed`);
        }
      },
    },
  };
}

/** Everything the page is made of, by file name. */
function partsOf(bundle: Rollup.OutputBundle): Map<string, Uint8Array> {
  const parts = new Map<string, Uint8Array>();
  for (const part of Object.values(bundle)) {
    const source = part.type === 'chunk' ? part.code : part.source;
    parts.set(part.fileName, typeof source === 'string' ? Buffer.from(source) : source);
  }
  return parts;
}

/**
 * The service worker's text with the list of files and a name made from their content: a new build is a new cache.
 */
function serviceWorker(publicDir: string, parts: ReadonlyMap<string, Uint8Array>): string {
  const template = readFileSync(join(publicDir, '..', 'offline', 'service-worker.js'), 'utf8');
  const files = [...parts.keys()].filter((name) => name !== 'index.html' && !/\.(map|md|txt)$/.test(name)).sort();
  const hash = createHash('sha256');
  for (const [name, content] of [...parts].sort(([a], [b]) => (a < b ? -1 : 1))) hash.update(name).update(content);
  const list = JSON.stringify(['./', ...files.map((name) => `./${name}`)]);
  return template.replace('__FILES__', () => list).replace('__BUILD__', () => hash.digest('hex').slice(0, 16));
}

type FirstLoad = { readonly lines: readonly string[]; readonly total: number };

/** What a first visit loads: the page, its script with what that imports at once, styles, fonts and the worker. */
function firstLoad(parts: ReadonlyMap<string, Uint8Array>): FirstLoad {
  const files = new Set<string>();
  const follow = (name: string): void => {
    const content = parts.get(name);
    if (files.has(name) || content === undefined) return;
    files.add(name);
    for (const other of namedIn(name, content)) follow(join(dirname(name), other));
  };
  follow('index.html');
  follow('worker.js');
  for (const name of parts.keys()) if (name.endsWith('.woff2')) files.add(name);
  const sizes = [...files].map((name) => ({ name, size: sizeOf(name, parts.get(name)) }));
  const sum = (fonts: boolean): number =>
    sizes.filter(({ name }) => name.endsWith('.woff2') === fonts).reduce((total, { size }) => total + size, 0);
  const total = sum(false);
  const lines = [
    ...sizes,
    { name: `together, gzip; at most ${kilobytes(firstLoadLimit)}`, size: total },
    { name: 'fonts besides, woff2', size: sum(true) },
  ].map(({ name, size }) => `${kilobytes(size).padStart(10)}  ${name}`);
  return { lines, total };
}

/** What a page names in its head, and what a bundle imports at once: `from './x.js'`, not `import('./x.js')`. */
function namedIn(name: string, content: Uint8Array): readonly string[] {
  const pattern = name.endsWith('.html')
    ? /(?:src|href)="(\.\/[^"]+\.(?:js|css))"/g
    : /\b(?:from|import)\s*["'](\.\/[^"']+\.js)["']/g;
  if (!/\.(?:html|js)$/.test(name)) return [];
  return [...Buffer.from(content).toString('utf8').matchAll(pattern)].map(([, other = '']) => other);
}

/** Octets as they cross: fonts are compressed already. */
function sizeOf(name: string, content: Uint8Array | undefined): number {
  if (content === undefined) return 0;
  return name.endsWith('.woff2') ? content.length : gzipSync(content, { level: 9 }).length;
}

function kilobytes(octets: number): string {
  return `${(octets / 1000).toFixed(1)} kB`;
}
