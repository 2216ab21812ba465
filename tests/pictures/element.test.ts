/** From trees of elements to text: what an XML reader gets back is what was put in. */

import fc from 'fast-check';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { element, moved, pathData, svgText } from '../../src/pictures/element.ts';
import { startBrowser } from '../app/browser.ts';

describe('svgText', () => {
  it('writes tags, attributes and text, all escaped', () => {
    const tree = element('text', { x: 1, 'font-size': 13, class: 'a"b<' }, 'C & <D>', element('tspan'), "'");
    expect(svgText(tree)).toBe(
      '<text x="1" font-size="13" class="a&quot;b&lt;">C &amp; &lt;D&gt;<tspan/>&apos;</text>',
    );
  });

  it('rounds numbers to hundredths, without a minus before nothing', () => {
    expect(svgText(element('path', { x: 1 / 3, y: -0.001, d: pathData('M', 2 / 3, -0.004) }))).toBe(
      '<path x="0.33" y="0" d="M 0.67 0"/>',
    );
  });

  it('leaves out what is null or undefined, and keeps nothing at all', () => {
    expect(svgText(element('g', { x: null, y: undefined, z: 0 }))).toBe('<g z="0"/>');
  });

  it.each([NaN, Infinity, -Infinity])('refuses %s wherever a number stands', (bad) => {
    expect(() => element('circle', { cx: bad })).toThrow(/cx of <circle> is .*; expected a finite number/);
    expect(() => pathData('M', bad, 0)).toThrow(RangeError);
    expect(() => moved(0, bad, [])).toThrow(RangeError);
  });

  it.each(['a b', '1x', '"', 'on>'])('refuses %j as a name', (name) => {
    expect(() => element('g', { [name]: 1 })).toThrow(RangeError);
    expect(() => element(name)).toThrow(RangeError);
  });
});

describe('an XML reader', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await startBrowser();
  }, 120_000);
  afterAll(() => browser?.close());

  it('gets back every text and attribute; what XML cannot hold as U+FFFD', async () => {
    const unit = fc.oneof(
      fc.constantFrom('&', '<', '>', '"', "'", ']]>', '\t', '\n', '\r', '\0', '\u000b', '\ufffe'),
      fc.string({ unit: 'binary' }),
      fc.constantFrom('\ud800', '\udc00', '𝄪'),
    );
    const values = fc.sample(
      fc.array(unit, { maxLength: 8 }).map((parts) => parts.join('')),
      { numRuns: 400, seed: 1 },
    );
    const tree = element('svg', {}, ...values.map((value) => element('g', { id: value }, value)));
    const page = await browser.newPage();
    const read = await page.evaluate((text) => {
      const parsed = new DOMParser().parseFromString(text, 'image/svg+xml');
      return {
        fault: parsed.querySelector('parsererror')?.textContent ?? null,
        values: [...parsed.documentElement.children].map((g) => [g.getAttribute('id'), g.textContent]),
      };
    }, svgText(tree));
    await page.close();
    // eslint-disable-next-line no-control-regex
    const held = values.map((value) => value.replace(/[\0-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]|\p{Cs}/gu, '\ufffd'));
    expect(values.some((value, i) => value !== held[i])).toBe(true);
    expect(read.fault).toBeNull();
    expect(read.values).toEqual(held.map((value) => [value, value]));
  });
});
