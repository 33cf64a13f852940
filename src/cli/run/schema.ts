import { contractSchema } from '../../contract/schema.ts';
import type { Run } from '../command.ts';

export const run: Run = (_input, io) => {
  io.out(`${JSON.stringify(contractSchema(), undefined, 2)}\n`);
  return Promise.resolve(0);
};
