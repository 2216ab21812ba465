/** Makes the picture in README.md from the page itself, the demo visit's compass: `npx tsx docs/makePicture.ts`. */

import { statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { servePage } from '../tests/app/browser.ts';

const PICTURE = fileURLToPath(new URL('compass.png', import.meta.url));
/** Bytes; a larger one would make the repository heavier with every change of the screen. */
const MOST = 200_000;

const built = await servePage();
try {
  const { page } = await built.visit({ viewport: { width: 1280, height: 856 }, colorScheme: 'light' });
  await page.getByRole('button', { name: 'Demo visit' }).click();
  await page.getByRole('button', { name: 'Compass', exact: true }).click();
  await page.getByLabel('Round').selectOption({ label: 'Round 1' });
  await page.locator('.compass-chip.all', { hasText: '88' }).waitFor();
  // The most urgent note of this round.
  await page.getByRole('slider', { name: 'Key' }).press('Home');
  while (!/unstable/.test((await page.getByRole('slider').getAttribute('aria-valuetext')) ?? '')) {
    await page.getByRole('slider').press('PageUp');
  }
  await page.getByRole('slider').evaluate((element) => element.blur());
  await page.evaluate(() => document.fonts.ready);
  await page.screenshot({ path: PICTURE });
} finally {
  await built.close();
}
const { size } = statSync(PICTURE);
if (size > MOST) throw new Error(`${PICTURE} has ${size} bytes; expected at most ${MOST}`);
console.log(`${PICTURE}: ${Math.round(size / 1000)} kB`);
