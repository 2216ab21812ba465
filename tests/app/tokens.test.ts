/**
 * The colours of the page against WCAG 2.2: text 4.5 (success criterion 1.4.3), graphics and outlines 3 (1.4.11).
 *
 * Contrast is computed by the definitions of "relative luminance" and "contrast ratio" there.
 */

import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const app = new URL('../../src/app/', import.meta.url);
const sheet = (name: string): string => readFileSync(new URL(name, app), 'utf8');
const TEXT = 4.5;
const GRAPHICS = 3;

/** Colours by token's name, of the dark theme as it stands or with the light one's over it. */
function theme(name: 'dark' | 'light'): Map<string, string> {
  const [dark, light] = sheet('tokens.css').split('@media (prefers-color-scheme: light)');
  const colours = new Map<string, string>();
  for (const part of name === 'dark' ? [dark] : [dark, light.split('@media')[0]]) {
    for (const [, token, hex] of part.matchAll(/--([a-z0-9-]+): (#[0-9a-f]{6});/g)) colours.set(token, hex);
  }
  return colours;
}

function luminance(hex: string): number {
  const [red, green, blue] = [1, 3, 5].map((at) => {
    const share = parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(a: string, b: string): number {
  const [dim, bright] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (bright + 0.05) / (dim + 0.05);
}

describe('the formula', () => {
  // Black on white is 21 by definition; #767676 on white is 4.54, from memory.
  it('gives known ratios, whichever way round', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
    expect(contrast('#ffffff', '#767676')).toBeCloseTo(4.54, 2);
    expect(contrast('#777777', '#ffffff')).toBeLessThan(TEXT);
    expect(contrast('#3547a6', '#3547a6')).toBe(1);
  });
});

describe.each(['dark', 'light'] as const)('the %s theme', (name) => {
  const colours = theme(name);
  const colour = (token: string): string => {
    const found = colours.get(token);
    if (!found) throw new Error(`no colour --${token} in tokens.css`);
    return found;
  };
  const tooLow = (tokens: readonly string[], grounds: readonly string[], least: number): string[] =>
    grounds.flatMap((ground) =>
      tokens
        .map((token) => ({ token, ratio: contrast(colour(token), colour(ground)) }))
        .filter(({ ratio }) => ratio < least)
        .map(({ token, ratio }) => `${token} on ${ground}: ${ratio.toFixed(2)}, expected ${least}`),
    );

  it('lets every text be read on every ground', () => {
    const texts = ['ink', 'ink2', 'ink3', 'dusk', 'amber', 'ember'];
    expect(tooLow(texts, ['bg', 'card', 'raised', 'band'], TEXT)).toEqual([]);
    expect(tooLow(['on-dusk'], ['dusk'], TEXT)).toEqual([]);
    expect(tooLow(['on-ember'], ['ember'], TEXT)).toEqual([]);
  });

  it('shows outlines and marks on every ground', () => {
    expect(tooLow(['edge', 'ink3', 'ember', 'dusk'], ['bg', 'card', 'raised', 'band'], GRAPHICS)).toEqual([]);
  });

  it('notices a colour that is too faint', () => {
    expect(tooLow(['hair'], ['bg', 'card'], GRAPHICS)).toHaveLength(2);
  });
});

describe('colours', () => {
  it('are all set anew for the light theme', () => {
    const dark = theme('dark');
    expect(dark.size).toBeGreaterThanOrEqual(14);
    expect([...theme('light')].filter(([token, hex]) => dark.get(token) === hex)).toEqual([]);
  });

  it('of the theme chosen as light are those of the device that is light', () => {
    const [, byDevice, byChoice] = sheet('tokens.css').split(/:root(?::not)?[[(][^{]*\{/);
    const tokens = (rules: string) => rules.split('}')[0].match(/--[a-z0-9-]+: [^;]+;/g);
    expect(tokens(byDevice)).toHaveLength(15);
    expect(tokens(byChoice)).toEqual(tokens(byDevice));
  });

  it('stand in tokens.css alone', () => {
    const files = readdirSync(app, { recursive: true, encoding: 'utf8' });
    const others = files.filter((file) => /\.(css|tsx?)$/.test(file) && file !== 'tokens.css');
    expect(others.length).toBeGreaterThan(30);
    expect(others).toContain('listen/listen.css');
    const strays = others.filter((file) => /#[0-9a-f]{3,8}\b|\b(rgb|hsl|oklch)a?\(/i.test(sheet(file)));
    expect(strays).toEqual([]);
  });
});
