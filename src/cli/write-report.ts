import { existsSync, readFileSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { cannotWrite } from './cannot-write.ts';
import { CannotRun } from './cannot-run.ts';

/** What every report page of ours begins with, and nobody else's. */
const ours = '<!-- gattwright proof -->';

/**
 * Writes the page; an older page of ours is replaced.
 *
 * @throws CannotRun when a file of somebody else's stands there, or it cannot be written
 */
export async function writeReport(path: string, html: string): Promise<void> {
  try {
    if (existsSync(path) && !readFileSync(path, 'utf8').includes(ours)) {
      throw new CannotRun(`${path} is not a report of gattwright and stays as it is`, 'name another file');
    }
    await writeFile(path, html.replace(/^<!doctype html>\n?/i, `<!doctype html>\n${ours}\n`));
  } catch (error) {
    throw error instanceof CannotRun ? error : cannotWrite(path, error);
  }
}
