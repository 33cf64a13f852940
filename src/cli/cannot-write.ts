import { CannotRun } from './cannot-run.ts';

/** Why a file or folder could not be written: the common reasons in words, the system's own word for the rest. */
export function cannotWrite(path: string, error: unknown): CannotRun {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const why =
    {
      EACCES: 'you may not write there',
      EPERM: 'you may not write there',
      EROFS: 'you may not write there',
      EEXIST: 'something of that name is there already',
      EISDIR: 'it is a folder',
      ENOENT: 'its folder is not there',
      ENOSPC: 'the disk is full',
      ENOTDIR: 'it lies below something that is no folder',
      ENAMETOOLONG: 'the name is too long',
    }[code] ?? (code === '' ? String(error) : code);
  return new CannotRun(`could not write \`${path}\`: ${why}`, 'name another place');
}
