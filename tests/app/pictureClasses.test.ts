/** The page's classes of pictures are those that the pictures name. */

import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { COLOURS, drawn, filled, STAMP_CLASS, TEXT_CLASS } from '../../src/pictures/colours.ts';

const css = readFileSync(new URL('../../src/app/pictures/pictures.css', import.meta.url), 'utf8');

it.each(COLOURS)('%s is filled and drawn in the token of its name', (colour) => {
  expect(css).toContain(`.${filled(colour)} {\n  fill: var(--${colour});\n  stroke: none;\n}`);
  expect(css).toContain(`.${drawn(colour)} {\n  fill: none;\n  stroke: var(--${colour});\n}`);
});

it('letters have their faces', () => {
  expect(css).toContain(`.${TEXT_CLASS} {\n  font-family: var(--text);\n}`);
  expect(css).toContain(`.${STAMP_CLASS} {\n  font-family: var(--stamp);\n}`);
});
