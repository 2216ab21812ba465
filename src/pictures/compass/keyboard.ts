/**
 * The keys under the rows, and over each the verdict of its note: a level dash, a tilted shelf, a solid tile with the broken
 * one knocked out, dashes. A key that was not heard has none.
 */

import type { Section } from '../../piano/sections.ts';
import { isBlackKey, keyName } from '../../piano/keys.ts';
import type { Verdict } from '../../analysis/document.ts';
import type { MidiNote } from '../../units.ts';
import type { PictureNode } from '../element.ts';
import { text } from '../marks.ts';
import { textWidth } from '../words.ts';
import type { CompassLayout } from './layout.ts';
import { box, disc, draw, fill, stretch } from './shapes.ts';

/** Keys, the names of every C that has room, and of the sections where asked for. */
export function keyboardMarks(layout: CompassLayout, sections: readonly Section[]): PictureNode[] {
  const { from, to, key, x, keys, text: size } = layout;
  const gap = key > 6 ? 0.75 : 0.25;
  const height = keys.bottom - keys.top;
  const whites: string[] = [];
  const blacks: string[] = [];
  const cs: MidiNote[] = [];
  for (let midi = from; midi <= to; midi++) {
    const black = isBlackKey(midi);
    const piece = box(x(midi) - key / 2 + gap, keys.top, key - 2 * gap, black ? 0.6 * height : height);
    (black ? blacks : whites).push(piece);
    if (midi % 12 === 0) cs.push(midi);
  }
  const labels = cs.map((midi) => {
    const width = textWidth(keyName(midi), size);
    const at = Math.min(layout.right - width / 2, Math.max(layout.left + width / 2, x(midi)));
    return text(at, keys.bottom - 5, keyName(midi), { anchor: 'middle', size, colour: 'ink3' });
  });
  const names = layout.sections
    ? sections.flatMap(({ name, lowest, highest }) => {
        const [low, high] = [Math.max(lowest, from), Math.min(highest, to)];
        const room = (high - low + 1) * key;
        return high >= low && textWidth(name, size) <= room
          ? [text((x(low) + x(high)) / 2, keys.bottom + size + 3, name, { anchor: 'middle', size })]
          : [];
      })
    : [];
  return [...draw(whites, 'hair', 1), ...fill(blacks, 'edge'), ...labels, ...names];
}

/** The verdicts in one element a kind, however many there are. */
export function verdictMarks(
  notes: readonly { readonly midi: MidiNote; readonly verdict: Verdict }[],
  layout: CompassLayout,
): PictureNode[] {
  const { x, key, verdicts } = layout;
  const of = (verdict: Verdict) => notes.filter((note) => note.verdict === verdict);
  const half = Math.max(0.5, key / 2 - (key > 6 ? 1.5 : 0.5));
  const size = Math.max(5, Math.min(19, 1.28 * key));
  const unit = size / 24;
  const top = verdicts.bottom - size;
  const place = (midi: MidiNote) => (px: number, py: number) =>
    [x(midi) - size / 2 + px * unit, top + py * unit] as const;
  const dashes = (own: readonly { readonly midi: MidiNote }[]) =>
    own.map(({ midi }) => box(x(midi) - half, verdicts.bottom - 3, 2 * half, 2.5));
  const dotAt = (midi: MidiNote, px: number, py: number, r: number) => disc(...place(midi)(px, py), r * unit);
  const lineAt = (midi: MidiNote, x1: number, y1: number, x2: number, y2: number) =>
    stretch(...place(midi)(x1, y1), ...place(midi)(x2, y2));
  const tile = ({ midi }: { readonly midi: MidiNote }) => {
    const [px, py] = place(midi)(4, 14);
    const [qx, qy] = place(midi)(13, 18);
    return [
      box(x(midi) - size / 2, top, size, size),
      dotAt(midi, 8, 8, 3),
      dotAt(midi, 16.5, 12, 3),
      box(px, py, 8 * unit, 2.6 * unit),
      box(qx, qy, 8 * unit, 2.6 * unit),
    ].join(' ');
  };
  const watch = of('watch');
  const thin = of('insufficient');
  return [
    ...fill(dashes(of('steady')), 'ink2'),
    ...fill(
      watch.flatMap(({ midi }) => [
        dotAt(midi, 7.5, 9, 4.4),
        `${lineAt(midi, 13, 18, 17, 24)} L ${place(midi)(9, 24)
          .map((v) => v.toFixed(2))
          .join(' ')} Z`,
      ]),
      'amber',
    ),
    ...draw(
      watch.map(({ midi }) => lineAt(midi, 1, 18.5, 23, 12.5)),
      'amber',
      3.6 * unit,
    ),
    ...fill(of('unstable').map(tile), 'ember', { 'fill-rule': 'evenodd' }),
    ...draw(
      thin.flatMap(({ midi }) => [dotAt(midi, 12, 9, 4.6), lineAt(midi, 2, 22, 22, 22)]),
      'ink3',
      Math.max(1, 2.2 * unit),
      { 'stroke-dasharray': '2 1.8' },
    ),
  ];
}
