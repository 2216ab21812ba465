/** What a newer version changes, out of the changelog. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { changesIn, isLater, versionFileOf } from '../../src/app/update/changes.ts';

describe('the changelog', () => {
  it('gives each version with the first sentence of its points', () => {
    const text = `# Changelog\n\nNumbers are kept.\n\n## Unreleased (analysis 0.3.0)\n\n- One \`thing\`: more of it.\n- Two\n  lines. And more.\n\n## Notes\n\n- Not a version.\n\n## 0.1.0 (analysis 0.1.0)\n\nFirst version.\n`;
    expect(changesIn(text)).toEqual([
      { name: 'Unreleased', analysisVersion: '0.3.0', lines: ['One thing.', 'Two lines.'] },
      { name: '0.1.0', analysisVersion: '0.1.0', lines: [] },
    ]);
  });

  it('of this project is read whole', () => {
    const changes = changesIn(readFileSync(new URL('../../CHANGELOG.md', import.meta.url), 'utf8'));
    expect(changes.length).toBeGreaterThan(1);
    expect(changes[0].lines.length).toBeGreaterThan(2);
    expect(changes.flatMap(({ lines }) => lines).filter((line) => line.length < 10 || line.includes('\n'))).toEqual([]);
  });
});

it.each([
  ['0.4.0', '0.3.9', true],
  ['0.10.0', '0.9.0', true],
  ['1.0.0', '0.9.9', true],
  ['0.3.0', '0.3.0', false],
  ['0.3.0', '0.4.0', false],
])('%s is later than %s: %s', (version, than, later) => expect(isLater(version, than)).toBe(later));

it('takes no other file for a version', () => {
  for (const value of [null, 'x', {}, { analysisVersion: 3 }, { analysisVersion: '<html>' }]) {
    expect(versionFileOf(value)).toBeNull();
  }
  const good = { name: 'a', analysisVersion: '1.0.0', lines: ['b'] };
  expect(versionFileOf({ analysisVersion: '1.0.0', changes: [good, { ...good, lines: 'b' }, 7] })).toEqual({
    analysisVersion: '1.0.0',
    changes: [good],
  });
});
