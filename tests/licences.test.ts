/** The licences of everything that Evenfall is built from: each must go with the GNU GPL, version 3 or later. */

import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { build, type Rolldown } from 'vite';
import { describe, expect, it } from 'vitest';
import { FONT_LICENCES, licences } from '../vite.config.ts';

const root = new URL('../', import.meta.url);
const text = (path: string) => readFileSync(new URL(path, root), 'utf8');

/**
 * Licences under which code may become part of a program under the GPL 3 or later, by SPDX identifier. Source: the Free
 * Software Foundation's list "Various Licenses and Comments about Them", section "GPL-Compatible Free Software
 * Licenses" (from memory). Licences for version 2 of the GPL alone are not among them.
 */
const COMPATIBLE = new Set([
  '0BSD',
  'Apache-2.0',
  'BlueOak-1.0.0',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'CC0-1.0',
  'GPL-2.0-or-later',
  'GPL-3.0-only',
  'GPL-3.0-or-later',
  'ISC',
  'LGPL-2.1-only',
  'LGPL-2.1-or-later',
  'LGPL-3.0-only',
  'LGPL-3.0-or-later',
  'MIT',
  'MPL-2.0',
  // Fonts, bundled and not linked: the list names it as free, and its fonts may be distributed with programs.
  'OFL-1.1',
  'Python-2.0',
  'Unlicense',
  'Zlib',
]);

/** What packages write that is no SPDX identifier: package, its words, what they mean, and why. */
const READ_AS: readonly { name: string; words: string; licence: string; reason: string }[] = [
  {
    name: 'pitchfinder',
    words: 'GNU v3',
    licence: 'GPL-3.0-only',
    reason: 'of the GNU licences the one called plainly by GNU and a version 3 is the General Public License',
  },
];

interface Manifest {
  readonly name: string;
  readonly license?: string | { readonly type: string };
  readonly licenses?: readonly { readonly type: string }[];
}

/** Places (in node_modules) of all packages that the running program needs, directly or through others. */
function productionPlaces(): string[] {
  const lock = JSON.parse(text('package-lock.json')) as {
    packages: Record<string, { dev?: boolean; devOptional?: boolean; optional?: boolean; link?: boolean }>;
  };
  return Object.entries(lock.packages)
    .filter(([place, entry]) => place !== '' && !entry.dev && !(entry.devOptional && !installed(place)))
    .filter(([place, entry]) => !entry.optional || installed(place))
    .map(([place]) => place);
}

function installed(place: string): boolean {
  return existsSync(new URL(`${place}/package.json`, root));
}

/** The licence as the installed package itself states it; several in a list count as a choice. */
function statedLicence({ license, licenses }: Manifest): string {
  if (typeof license === 'string') return license;
  if (license) return license.type;
  return (licenses ?? []).map(({ type }) => type).join(' OR ');
}

/** Whether an SPDX expression of identifiers with AND and OR (AND binds closer) can be met by compatible licences. */
function isCompatible(expression: string): boolean {
  const bare = expression.trim().replace(/^\((.*)\)$/, '$1');
  // Nested brackets are beyond this reading, and do not pass.
  if (/[()]/.test(bare)) return false;
  return bare.split(' OR ').some((choice) => choice.split(' AND ').every((licence) => COMPATIBLE.has(licence.trim())));
}

/** Sentences about the packages whose licence is unknown or does not fit. */
function misfits(manifests: readonly Manifest[]): string[] {
  return manifests.flatMap((manifest) => {
    const words = statedLicence(manifest);
    const known = READ_AS.find((entry) => entry.name === manifest.name && entry.words === words);
    if (isCompatible(known?.licence ?? words)) return [];
    return [`${manifest.name}: licence ${words === '' ? 'not stated' : `"${words}"`}; not known to go with the GPL 3`];
  });
}

describe('licences', () => {
  const places = productionPlaces();
  const manifests = places.map((place) => JSON.parse(text(`${place}/package.json`)) as Manifest);
  const names = manifests.map(({ name }) => name);

  it('of everything that runs go with the GPL 3 or later', () => {
    expect(misfits(manifests)).toEqual([]);
  });

  it('were asked of all that runs, through others as well', () => {
    const { dependencies } = JSON.parse(text('package.json')) as { dependencies: Record<string, string> };
    expect(Object.keys(dependencies).length).toBeGreaterThan(5);
    expect(names).toEqual(expect.arrayContaining(Object.keys(dependencies)));
    expect(names).toEqual(expect.arrayContaining(['pitchfinder', 'codec-parser', 'simple-yenc', 'scheduler']));
    expect(names).not.toContain('vitest');
  });

  it('that needed reading are still stated in the words that were read', () => {
    for (const { name, words, reason } of READ_AS) {
      const manifest = manifests.find((candidate) => candidate.name === name);
      expect(manifest && statedLicence(manifest), `${name}: ${reason}`).toBe(words);
    }
  });

  it.each([
    ['MIT', true],
    ['(MIT OR CC0-1.0)', true],
    ['SSPL-1.0 OR ISC', true],
    ['MIT AND Zlib', true],
    ['MIT AND SSPL-1.0', false],
    ['(MIT OR ISC) AND (SSPL-1.0)', false],
    ['GPL-2.0-only', false],
    ['UNLICENSED', false],
    ['SEE LICENSE IN LICENSE.txt', false],
    ['GNU v3', false],
    ['', false],
  ])('judge "%s" as fitting: %s', (license, fits) => {
    expect(misfits([{ name: 'planted', license }])).toHaveLength(fits ? 0 : 1);
  });

  it('are found in older forms of statement, and missed where there is none', () => {
    expect(misfits([{ name: 'planted', license: { type: 'ISC' } }])).toEqual([]);
    expect(misfits([{ name: 'planted', licenses: [{ type: 'SSPL-1.0' }, { type: 'MIT' }] }])).toEqual([]);
    expect(misfits([{ name: 'planted' }])).toEqual([expect.stringMatching(/planted: licence not stated/)]);
  });

  it('of fonts go with the built page, word for word', async () => {
    const fonts = manifests.filter((manifest) => statedLicence(manifest) === 'OFL-1.1').map(({ name }) => name);
    expect(fonts.length).toBeGreaterThanOrEqual(2);
    expect(Object.keys(FONT_LICENCES).sort()).toEqual(fonts.sort());
    const made = (await build({
      configFile: false,
      logLevel: 'error',
      plugins: [licences],
      build: { write: false, rollupOptions: { input: fileURLToPath(new URL('src/units.ts', root)) } },
    })) as Rolldown.RolldownOutput;
    for (const [name, fileName] of Object.entries(FONT_LICENCES)) {
      const file = made.output.find((one) => one.fileName === fileName);
      expect(file?.type === 'asset' && file.source).toBe(text(`node_modules/${name}/LICENSE`));
      expect(text(`node_modules/${name}/LICENSE`)).toMatch(/Copyright[\s\S]*SIL OPEN FONT LICENSE Version 1\.1/);
    }
  });

  it('of Evenfall itself: the GPL 3 to the letter, or later', () => {
    // Checksum of gnu.org/licenses/gpl-3.0.txt, from memory; the file here agreed with it.
    const checksum = createHash('sha256').update(text('LICENSE')).digest('hex');
    expect(checksum).toBe('3972dc9744f6499f0f9b2dbf76696f2ae7ad8af9b23dde66d6af86c9dfb36986');
    expect(JSON.parse(text('package.json'))).toMatchObject({ license: 'GPL-3.0-or-later' });
  });
});
