import { fileURLToPath } from 'node:url';

/** The folder of this project. */
export const repository = fileURLToPath(new URL('../../..', import.meta.url));
