import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';
import { serve } from '../../../scripts/serve.mjs';
import { builtPage, hasBrowser, launchServer } from './browser.ts';

declare module 'vitest' {
  // eslint-disable-next-line @typescript-eslint/consistent-type-definitions -- only an interface merges with the one there
  export interface ProvidedContext {
    /** Where the page is served and the browser listens; `undefined` on a machine without a browser. */
    readonly page: { readonly url: string; readonly browser: string } | undefined;
  }
}

/** Builds and serves the page and starts the browser, once for all files of tests. */
export async function setup(project: TestProject): Promise<(() => Promise<void>) | undefined> {
  if (!hasBrowser()) {
    project.provide('page', undefined);
    return undefined;
  }
  const script = fileURLToPath(new URL('../../../scripts/build-page.mjs', import.meta.url));
  const { status } = spawnSync(process.execPath, [script, '--if-stale'], {
    stdio: 'inherit',
    // The runner of the tests has its own, in which the page would not be the one that users get.
    env: { ...process.env, NODE_ENV: 'production' },
  });
  if (status !== 0) throw new Error('the page could not be built');
  const [host, browser] = await Promise.all([serve(builtPage), launchServer()]);
  project.provide('page', { url: host.url, browser: browser.wsEndpoint() });
  return async () => {
    await browser.close();
    await host.stop();
  };
}
