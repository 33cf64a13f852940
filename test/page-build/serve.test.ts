import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { serve } from '../../scripts/serve.mjs';

const policy = "default-src 'none'; script-src 'self'";
let folder: string;
let server: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-serve-'));
  const page = join(folder, 'page');
  mkdirSync(join(page, 'assets'), { recursive: true });
  const stated = policy.replaceAll("'", '&#39;');
  writeFileSync(join(page, 'index.html'), `<meta http-equiv="Content-Security-Policy" content="${stated}">`);
  writeFileSync(join(page, 'assets', 'a b.js'), 'let x;');
  writeFileSync(join(folder, 'secret.txt'), 'not for everybody');
  mkdirSync(join(folder, 'page-other'));
  writeFileSync(join(folder, 'page-other', 'x.txt'), 'not for everybody');
  server = await serve(page);
});

afterAll(async () => {
  await server.stop();
  rmSync(folder, { recursive: true });
});

/** Asks for a path as it is: `fetch` would take dots out of it. */
function get(
  path: string,
  method = 'GET',
): Promise<{ status: number; headers: Record<string, unknown>; body: string }> {
  const { hostname, port } = new URL(server.url);
  return new Promise((resolve, reject) => {
    const asked = request({ hostname, port, path, method }, (response) => {
      let body = '';
      response.setEncoding('utf8').on('data', (part: string) => (body += part));
      response.on('end', () => {
        resolve({ status: response.statusCode ?? 0, headers: response.headers, body });
      });
    });
    asked.on('error', reject).end();
  });
}

describe('the server of the page', () => {
  it('listens on this machine only', () => {
    expect(new URL(server.url).hostname).toBe('127.0.0.1');
  });

  it('sends the policy that the page states, and that nobody may frame it', async () => {
    const { status, headers } = await get('/');
    expect(status).toBe(200);
    expect(headers['content-security-policy']).toBe(`${policy}; frame-ancestors 'none'`);
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['cache-control']).toBe('no-cache');
  });

  it('serves files whose names are coded, and lets those with a lasting name be kept', async () => {
    const { status, headers, body } = await get('/assets/a%20b.js?x=1');
    expect([status, body, headers['content-type']]).toEqual([200, 'let x;', 'text/javascript; charset=utf-8']);
    expect(headers['cache-control']).toContain('immutable');
  });

  it('compresses scripts for those who take it', async () => {
    const { port } = new URL(server.url);
    const { headers } = await fetch(`http://127.0.0.1:${port}/assets/a%20b.js`);
    expect(headers.get('content-encoding')).toBe('gzip');
    expect((await get('/assets/a%20b.js')).headers['content-encoding']).toBeUndefined();
    expect(await (await fetch(`${server.url}assets/a%20b.js`)).text()).toBe('let x;');
  });

  it.each([
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/assets/../../secret.txt',
    '/../page-other/x.txt',
  ])('serves nothing outside its folder: %s', async (path) => {
    const { status, body } = await get(path);
    expect([status, body]).toEqual([404, 'There is no such file.']);
  });

  it.each(['/assets', '/assets/', '/none.js', '/%00', '/%zz'])('answers what is no file with 404: %s', async (path) => {
    expect((await get(path)).status).toBe(404);
  });

  it('answers HEAD without a body and refuses to be written to', async () => {
    expect(await get('/', 'HEAD')).toMatchObject({ status: 200, body: '' });
    expect((await get('/', 'PUT')).status).toBe(405);
  });

  it('takes a free port where the wished one is taken', async () => {
    const other = await serve(join(folder, 'page'), Number(new URL(server.url).port));
    expect(other.url).not.toBe(server.url);
    await other.stop();
  });
});
