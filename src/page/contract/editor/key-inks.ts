import { syntaxTree } from '@codemirror/language';
import { RangeSetBuilder, type Text } from '@codemirror/state';
import { Decoration, ViewPlugin, type EditorView, type DecorationSet, type ViewUpdate } from '@codemirror/view';

type SyntaxNode = ReturnType<typeof syntaxTree>['topNode'];

/** Keys that say what the board holds and does. */
const ofBoard: ReadonlySet<string> = new Set(
  [
    'type scale unit range step special length start drive on-link-loss actuator refuse-with',
    'enum flags struct array count names decimal binary multiplier value within kind width clock prescalers reload of',
    'top bits full from to reference gain points',
  ].flatMap((line) => line.split(' ')),
);

/** Keys that say what crosses the air. */
const ofAir: ReadonlySet<string> = new Set(
  [
    'radio advertise connection interval latency timeout mtu phy data-length tx-power manufacturer-data company data',
    'uuid-base uuid slot use adopted access needs notify on at-most read write subscribe handles reserve secondary includes extended',
  ].flatMap((line) => line.split(' ')),
);

const marks = {
  board: Decoration.mark({ class: 'cm-key-board' }),
  air: Decoration.mark({ class: 'cm-key-air' }),
};

/** Prints each key in the ink of its side. */
export const keyInks = ViewPlugin.fromClass(
  class {
    decorations: DecorationSet;

    constructor(view: EditorView) {
      this.decorations = inked(view);
    }

    update(update: ViewUpdate): void {
      if (update.docChanged || update.viewportChanged || syntaxTree(update.startState) !== syntaxTree(update.state))
        this.decorations = inked(update.view);
    }
  },
  { decorations: (plugin) => plugin.decorations },
);

function inked(view: EditorView): DecorationSet {
  const builder = new RangeSetBuilder<Decoration>();
  for (const { from, to } of view.visibleRanges) {
    syntaxTree(view.state).iterate({
      from,
      to,
      enter: (node) => {
        if (node.name !== 'Key') return;
        const side = isOfBoardItself(view.state.doc, node.node)
          ? undefined
          : sideOf(view.state.doc, node.from, node.to);
        if (side !== undefined) builder.add(node.from, node.to, marks[side]);
      },
    });
  }
  return builder.finish();
}

/** The keys under `board` name things that elsewhere mean others: a `unit` there is one of several boards. */
function isOfBoardItself(doc: Text, key: SyntaxNode): boolean {
  const outer = key.parent?.parent?.parent?.firstChild;
  return outer?.name === 'Key' && doc.sliceString(outer.from, outer.to) === 'board';
}

function sideOf(doc: Text, from: number, to: number): 'board' | 'air' | undefined {
  if (to - from > 32) return undefined;
  const word = doc.sliceString(from, to).trim();
  return ofBoard.has(word) ? 'board' : ofAir.has(word) ? 'air' : undefined;
}
