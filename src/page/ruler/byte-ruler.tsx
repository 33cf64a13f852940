import type { JSX } from 'preact';
import type { Bytes } from '../../base/bytes.ts';
import type { ValueType } from '../../values/type.ts';
import { StripDrawing, type Ink } from './strip-drawing.tsx';
import { StripTable, stripWords } from './strip-words.tsx';
import { valueStrip } from './value-strip.ts';
import './ruler.css';

export type ByteRulerProps = {
  readonly type: ValueType;
  /** What the value is now, drawn into the octets; any octets, also such as the type does not allow. */
  readonly bytes?: Bytes | undefined;
  /** Whose octets they are: the ink they are printed in. Default `board`. */
  readonly ink?: 'board' | 'air';
  /** `sheet`: with names, codings and a table for who does not see it; `plate`: octets and bits for the foot of a plate. */
  readonly size?: 'sheet' | 'plate';
  /** Begins the words for who does not see it: `Paddle frequency`. */
  readonly name?: string;
};

/** Octets a row, so that a ruler fits a telephone. */
const perRow = 8;

/** A value's octets drawn to scale: bit 0 on the left of its octet, fields under braces, the current value in them. */
export function ByteRuler({ type, bytes, ink = 'board', size = 'sheet', name = '' }: ByteRulerProps): JSX.Element {
  const strip = valueStrip(type, bytes);
  const side: Ink = bytes === undefined ? 'none' : ink;
  const words = stripWords(strip, name);
  return (
    <div class="ruler-box">
      <StripDrawing
        strip={strip}
        perRow={perRow}
        octet={40}
        ink={side}
        bits={true}
        labels={size === 'sheet' || type.kind === 'struct'}
        words={words}
      />
      {size === 'sheet' ? <StripTable strip={strip} caption={words} /> : null}
    </div>
  );
}
