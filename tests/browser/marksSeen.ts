/** What a reader sees of drawn marks: measured in a picture of the window, whatever colours the styles name. */

import type { Page } from 'playwright-core';

/** How a mark looks in a picture of the window. */
export interface SeenMark {
  readonly told: string;
  /** Share of the mark's box whose colour stands off from the box's ground by a contrast of 3 or more. */
  readonly drawn: number;
  /** Those places as a row of 0 and 1. */
  readonly shape: string;
}

/** The marks within the window that match a selector, as a picture of the window shows them. */
export async function marksSeen(page: Page, selector: string): Promise<SeenMark[]> {
  const boxes = await page.evaluate((css) => {
    const inSight = [...document.querySelectorAll(css)].filter((mark) => {
      const { top, bottom, width } = mark.getBoundingClientRect();
      return mark.checkVisibility() && width > 0 && top >= 0 && bottom <= window.innerHeight;
    });
    return inSight.map((mark) => {
      const { left, top, width, height } = mark.getBoundingClientRect();
      const told = `${mark.getAttribute('class')} of ${mark.parentElement!.getAttribute('class')}`;
      return {
        told,
        left: Math.round(left),
        top: Math.round(top),
        width: Math.round(width),
        height: Math.round(height),
      };
    });
  }, selector);
  const picture = (await page.screenshot()).toString('base64');
  return page.evaluate(
    async ([text, all]) => {
      const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
      const context = canvas.getContext('2d', { willReadFrequently: true })!;
      context.drawImage(bitmap, 0, 0);
      const light = (channels: Uint8ClampedArray, at: number) =>
        [0.2126, 0.7152, 0.0722].reduce((sum, weight, i) => {
          const c = channels[at + i] / 255;
          return sum + weight * (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
        }, 0);
      return all.map(({ told, left, top, width, height }) => {
        const { data } = context.getImageData(left, top, width, height);
        const lights = Array.from({ length: width * height }, (_, i) => light(data, 4 * i));
        const counts = new Map<number, number>();
        for (const value of lights) counts.set(value, (counts.get(value) ?? 0) + 1);
        const ground = [...counts].sort((a, b) => b[1] - a[1])[0][0];
        const apart = lights.map((value) => (Math.max(value, ground) + 0.05) / (Math.min(value, ground) + 0.05) >= 3);
        return {
          told,
          drawn: apart.filter(Boolean).length / apart.length,
          shape: apart.map((is) => (is ? '1' : '0')).join(''),
        };
      });
    },
    [picture, boxes] as const,
  );
}
