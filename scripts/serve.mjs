// Serves a folder of static files on this machine only, with the headers a careful host sends.
import { createReadStream, existsSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { extname, join, normalize, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createGzip } from 'node:zlib';

const types = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.webmanifest': 'application/manifest+json',
  '.md': 'text/markdown; charset=utf-8',
};

/** Fonts and pictures are compressed already. */
const compressible = new Set(['.html', '.js', '.css', '.svg', '.webmanifest', '.md']);

/**
 * Serves `folder` on 127.0.0.1.
 *
 * @param port 0 for a free one; a wished port that is taken gives way to a free one
 * @returns address and how to stop
 */
export async function serve(folder, port = 0) {
  const policy = policyOf(folder);
  const server = createServer((request, response) => {
    answer(folder, policy, request, response);
  });
  await listen(server, port).catch((error) => {
    if (error.code !== 'EADDRINUSE' && error.code !== 'EACCES') throw error;
    return listen(server, 0);
  });
  return {
    url: `http://127.0.0.1:${server.address().port}/`,
    stop: () =>
      new Promise((resolve) => {
        server.close(resolve);
        server.closeAllConnections();
      }),
  };
}

function listen(server, port) {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', () => {
      server.off('error', reject);
      resolve();
    });
  });
}

/** The page says in its own head what it may load; the same is sent as a header, with what only a header can say. */
function policyOf(folder) {
  const html = readFileSync(join(folder, 'index.html'), 'utf8');
  const stated = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1];
  if (stated === undefined) throw new Error(`${join(folder, 'index.html')} states no content security policy`);
  return `${stated.replaceAll('&#39;', "'")}; frame-ancestors 'none'`;
}

function answer(folder, policy, request, response) {
  response.setHeader('Content-Security-Policy', policy);
  response.setHeader('X-Content-Type-Options', 'nosniff');
  response.setHeader('Referrer-Policy', 'no-referrer');
  response.setHeader('Cross-Origin-Opener-Policy', 'same-origin');
  if (request.method !== 'GET' && request.method !== 'HEAD')
    return end(response, 405, 'Only GET and HEAD are answered.');
  const path = fileOf(folder, request.url ?? '/');
  if (path === undefined) return end(response, 404, 'There is no such file.');
  // Files with a name made from their content never change.
  const isLasting = path.includes(`${sep}assets${sep}`);
  response.setHeader('Cache-Control', isLasting ? 'public, max-age=31536000, immutable' : 'no-cache');
  response.setHeader('Content-Type', types[extname(path)] ?? 'application/octet-stream');
  response.setHeader('Vary', 'Accept-Encoding');
  const zipped = compressible.has(extname(path)) && /\bgzip\b/.test(request.headers['accept-encoding'] ?? '');
  if (zipped) response.setHeader('Content-Encoding', 'gzip');
  else response.setHeader('Content-Length', statSync(path).size);
  if (request.method === 'HEAD') return response.end();
  const file = createReadStream(path);
  if (zipped) file.pipe(createGzip()).pipe(response);
  else file.pipe(response);
}

/** The file for a request's path, always within the folder. */
function fileOf(folder, url) {
  let path;
  try {
    path = decodeURIComponent(new URL(url, 'http://page').pathname);
  } catch {
    return undefined;
  }
  if (path.includes('\0')) return undefined;
  const file = normalize(join(folder, path.endsWith('/') ? `${path}index.html` : path));
  const inside = file.startsWith(folder.endsWith(sep) ? folder : folder + sep);
  return inside && existsSync(file) && statSync(file).isFile() ? file : undefined;
}

function end(response, status, text) {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8' }).end(text);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { url } = await serve(join(fileURLToPath(new URL('..', import.meta.url)), 'dist', 'page'), 4173);
  console.log(url);
}
