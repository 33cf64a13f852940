import type { FindingDoc } from '../base/finding.ts';
import { resolveFindings } from './resolve/findings.ts';
import { shapeFindings } from './shapes/findings.ts';
import { syntaxFindings } from './syntax/findings.ts';

/** Every kind of finding that reading a contract can give: about the file, its form and its meaning. */
export const contractFindings: readonly FindingDoc[] = [...syntaxFindings, ...shapeFindings, ...resolveFindings];
