import type { Plugin } from 'vite';
import { bug } from '../../src/base/bug.ts';

/** What uPlot hangs on its one export, so that the bundler must keep it, and strip charts never use. */
const unused = [
  'uPlot.assign = assign;',
  'uPlot.fmtNum = fmtNum;',
  'uPlot.rangeNum = rangeNum;',
  'uPlot.rangeLog = rangeLog;',
  'uPlot.rangeAsinh = rangeAsinh;',
  'uPlot.orient   = orient;',
  'uPlot.join = join;',
  'uPlot.fmtDate = fmtDate;',
  'uPlot.tzDate  = tzDate;',
  'uPlot.sync = _sync;',
  'uPlot.addGap = addGap;',
  'uPlot.clipGaps = clipGaps;',
  '(paths.bars    = bars);',
  '(paths.spline  = monotoneCubic);',
];

/**
 * Leaves out of the chart library what the page does not draw. A version of it that is written otherwise stops the build:
 * then look here.
 */
export function leanCharts(): Plugin {
  return {
    name: 'lean-charts',
    apply: 'build',
    transform: {
      filter: { id: /uPlot\.esm\.js$/ },
      handler: (code) => ({ code: unused.reduce(without, code), map: null }),
    },
  };
}

function without(code: string, line: string): string {
  bug(code.includes(line), `uPlot has no line ${line}`);
  return code.replace(line, '');
}
