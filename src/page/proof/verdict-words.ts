import type { Verdict, VerdictWord } from '../../proof/verdict.ts';

const words: Readonly<Record<VerdictWord, string>> = {
  passed: 'passed',
  failed: '▲ failed',
  inconclusive: '▲ inconclusive',
  'not-reachable': '○ not reachable',
};

/** The verdict as it stands beside a case; never told by colour alone. */
export function verdictWords({ verdict, bug }: Pick<Verdict, 'verdict' | 'bug'>): string {
  return bug ? '▲ failed by a mistake of this program' : words[verdict];
}

/** What those verdicts mean that do not explain themselves, and what to do about them. */
export const verdictMeanings: Readonly<Record<'inconclusive' | 'not-reachable', string>> = {
  inconclusive:
    'Inconclusive: the case was run, but nothing was seen that would tell whether the board does it right. It counts neither for nor against the board.',
  'not-reachable':
    'Not reachable: this link cannot ask that question, so the case was not run. Each such case names what the link lacks; another link may have it.',
};
