/** Draws the icons of the installed app from its mark: `npx tsx tests/app/makeIcons.ts`. */

import { readFileSync, writeFileSync } from 'node:fs';
import { chromium } from 'playwright-core';

const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
/** Name, pixels, and how much of the width the mark takes: a maskable icon may lose all beyond the middle 80 in 100. */
const ICONS = [
  ['icon-192', 192, 0.78],
  ['icon-512', 512, 0.78],
  ['maskable-512', 512, 0.54],
  ['touch-180', 180, 0.66],
] as const;

/** The paths of the mark as the page draws them. */
const glyphs = readFileSync(new URL('../../src/app/glyphs.tsx', import.meta.url), 'utf8');
const mark = /function HammerMark[\s\S]*?d="([^"]+)"[\s\S]*?<path d="([^"]+)" strokeWidth="([^"]+)"/.exec(glyphs);
const tokens = readFileSync(new URL('../../src/app/tokens.css', import.meta.url), 'utf8');
const colour = (name: string) => new RegExp(`--${name}: (#[0-9a-f]{6})`).exec(tokens)?.[1];
if (!mark) throw new Error('no mark found in glyphs.tsx; expected HammerMark with two paths');
const [, head, shelf, width] = mark;

const browser = await chromium.launch({
  executablePath: CHROMIUM,
  args: ['--headless', '--no-sandbox', '--disable-gpu'],
});
const page = await browser.newPage();
for (const [name, size, share] of ICONS) {
  await page.setViewportSize({ width: size, height: size });
  const side = size * share;
  // Only a maskable icon and a touch icon fill their square; the others show the mark on a rounded ground.
  const radius = name.startsWith('icon') ? size * 0.2 : 0;
  const dusk = colour('dusk');
  await page.setContent(`<!doctype html><style>body{margin:0}</style>
    <svg xmlns="http://www.w3.org/2000/svg" width="${size}" height="${size}" style="display:block">
      <rect width="${size}" height="${size}" rx="${radius}" fill="${colour('bg')}"/>
      <svg x="${(size - side) / 2}" y="${(size - side) / 2 + side * 0.02}" width="${side}" height="${side}" viewBox="0 0 24 24" fill="none" stroke="${dusk}" stroke-linecap="round">
        <path d="${head}" fill="${dusk}" stroke="none"/><path d="${shelf}" stroke-width="${width}"/>
      </svg>
    </svg>`);
  writeFileSync(
    new URL(`../../public/icons/${name}.png`, import.meta.url),
    await page.screenshot({ omitBackground: true }),
  );
}
await browser.close();
