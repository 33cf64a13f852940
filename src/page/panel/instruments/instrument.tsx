import type { JSX } from 'preact';
import { unreachable } from '../../../base/bug.ts';
import { later } from '../../shell/later.tsx';
import type { InstrumentKind } from '../instrument-kind.ts';
import { Choice } from './choice.tsx';
import { Counter } from './counter.tsx';
import { Dial } from './dial.tsx';
import { Figure } from './figure.tsx';
import { Form } from './form.tsx';
import type { InstrumentProps } from './instrument-props.ts';
import { Meter } from './meter.tsx';
import { Switch } from './switch.tsx';
import { TextLine } from './text-line.tsx';

/** Those that few contracts have are fetched when one has them. */
const Bars = later(async () => (await import('./bars.tsx')).Bars, 'panel-instrument panel-room');
const Lamps = later(async () => (await import('./lamps.tsx')).Lamps, 'panel-instrument panel-room');
const Octets = later(async () => (await import('./octets.tsx')).Octets, 'panel-instrument');

export function Instrument({ kind, ...props }: InstrumentProps & { readonly kind: InstrumentKind }): JSX.Element {
  switch (kind) {
    case 'dial':
      return <Dial {...props} />;
    case 'meter':
      return <Meter {...props} />;
    case 'counter':
      return <Counter {...props} />;
    case 'figure':
      return <Figure {...props} />;
    case 'switch':
      return <Switch {...props} />;
    case 'lamps':
      return <Lamps {...props} />;
    case 'choice':
      return <Choice {...props} />;
    case 'text':
      return <TextLine {...props} />;
    case 'octets':
      return <Octets {...props} />;
    case 'form':
      return <Form {...props} />;
    case 'bars':
      return <Bars {...props} />;
    default:
      return unreachable(kind);
  }
}
