import { budgetOf } from '../../budget/budget.ts';
import { inventedSupply } from '../../budget/energy/supply.ts';
import { required, type Run } from '../command.ts';
import { openCompiled } from '../open-contract.ts';

const shown = (time: number): string => `${(time / 1000).toPrecision(4)} ms`;

export const run: Run = async (input, io) => {
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 1;
  const seed = Number(input.option('seed') ?? 1);
  const budget = budgetOf(compiled.table, { supply: inventedSupply, packetErrorRate: 0, seed });
  if (input.option('format') === 'json') {
    io.out(`${JSON.stringify(budget, undefined, 2)}\n`);
    return 0;
  }
  const { link, throughput, delay, energy } = budget;
  const lines = [
    `throughput: at most ${throughput.kbitPerSecond.toFixed(1)} kbit/s of values`,
    `link use: ${(100 * link.demand).toFixed(2)} % by the declared rates; most by ${link.blame ?? 'none'}; smallest MTU ${link.smallestMtu}`,
    ...link.advice.map((advice) => `  ${advice}`),
    ...delay.values.map((value) =>
      value.fits
        ? `delay of ${value.id}: median ${shown(value.median)}, 95 % within ${shown(value.p95)}`
        : `delay of ${value.id}: a packet does not fit the connection interval`,
    ),
    ...budget.found.patterns.map(
      ({ pattern, mean, p95 }) =>
        `found by ${pattern.name} (${pattern.source}): mean ${shown(mean.closed)}, run ${shown(mean.run)}, difference ${shown(mean.difference)}, 95 % within ${shown(p95)}`,
    ),
    ...[energy.advertising, energy.connected].map(
      ({ activity, meanUa, lifeHours }) =>
        `charge, ${activity}, invented figures: ${meanUa.low.toFixed(1)} to ${meanUa.high.toFixed(1)} µA, ${(lifeHours.low / 24).toFixed(0)} to ${(lifeHours.high / 24).toFixed(0)} days`,
    ),
    `memory: ${budget.memory}`,
    'formulas, assumptions and where they end: --format json',
  ];
  io.out(`${lines.join('\n')}\n`);
  return 0;
};
