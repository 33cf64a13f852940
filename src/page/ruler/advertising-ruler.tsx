import type { JSX } from 'preact';
import type { AdvertisingData } from '../../table/model.ts';
import { advertisingStrip } from './advertising-strip.ts';
import { StripDrawing } from './strip-drawing.tsx';
import { StripTable, stripWords } from './strip-words.tsx';
import './ruler.css';

/** Advertising or scan response data to scale: its elements under braces, and the octets that are free. */
export function AdvertisingRuler({
  data,
  name,
}: {
  readonly data: AdvertisingData;
  readonly name: string;
}): JSX.Element {
  const strip = advertisingStrip(data);
  const words = stripWords(strip, name);
  const drawing = { strip, octet: 20, ink: 'air', bits: false, labels: true, words } as const;
  // One of the two is shown, by the room there is: the whole on one line, or two lines on a telephone.
  return (
    <div class="ruler-box ruler-advertising">
      <div class="ruler-wide">
        <StripDrawing {...drawing} perRow={31} />
      </div>
      <div class="ruler-narrow">
        <StripDrawing {...drawing} perRow={16} />
      </div>
      <StripTable strip={strip} caption={words} />
    </div>
  );
}
