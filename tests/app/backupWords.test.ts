/** What the backup screen says. */

import { describe, expect, it } from 'vitest';
import { broughtInWords, refusalNotice, savedWords, sizeWords } from '../../src/app/backup/backupWords.ts';
import { noCounts } from '../../src/storage/backup/contents.ts';
import { StoreError } from '../../src/storage/store.ts';

describe('what came of it', () => {
  const counts = (some: object) => ({ ...noCounts(), ...some });

  it.each([
    [
      { visits: 2, takes: 31, rounds: 2 },
      { takes: 4, pianos: 1 },
      0,
      '2 visits, 31 takes brought in; 4 were here already.',
    ],
    [{ visits: 1, takes: 1 }, {}, 0, '1 visit, 1 take brought in.'],
    [{}, { visits: 1 }, 0, 'Nothing brought in; 1 was here already.'],
    [{ gauges: 2 }, { visits: 1 }, 0, '2 entries brought in; 1 was here already.'],
    [
      {},
      { visits: 1, takes: 3 },
      1,
      'Nothing brought in; 4 were here already. 1 of what was here differs from the backup and was left as it is here.',
    ],
  ])('of %j with %j here, %i differing: %s', (broughtIn, here, differing, words) => {
    const found = Array.from({ length: differing }, () => ({ shelf: 'takes', id: 't' }) as const);
    expect(broughtInWords({ broughtIn: counts(broughtIn), here: counts(here), differing: found })).toBe(words);
  });

  it('says what was saved, and what is not in it', () => {
    const made = { counts: counts({ visits: 1, takes: 31 }), bytes: 253e6, withoutSound: [] };
    expect(savedWords(made)).toBe('Saved: 1 visit, 31 takes, 253 MB.');
    expect(savedWords({ ...made, withoutSound: ['t1'] })).toMatch(/MB\. The sound of 1 take is damaged on this device/);
    expect(sizeWords({ visits: 2, takes: 31, soundBytes: 253e6 }, true)).toBe('2 visits, 31 takes, about 253 MB');
    expect(sizeWords({ visits: 1, takes: 0, soundBytes: 0 }, false)).toBe('0 takes, without sound');
  });
});

describe('a refusal', () => {
  it('has a title, what is kept, and what to do', () => {
    const cut = new StoreError(
      'damaged',
      'It ends in the middle of visit 3. Nothing was changed here.',
      'Choose another.',
    );
    expect(refusalNotice(cut, 'restoring')).toMatchObject({
      title: 'This backup cannot be read',
      text: 'It ends in the middle of visit 3. Nothing was changed here.',
      actions: [{ label: 'Choose another' }],
    });
    const newer = new StoreError('newer', 'This backup comes from a newer Evenfall', 'Update this app first.');
    expect(refusalNotice(newer, 'restoring')).toMatchObject({
      title: 'This backup comes from a newer Evenfall',
      text: 'Update this app first. Nothing was changed here.',
    });
    const full = new StoreError('full', 'This device has no room', 'Make room.');
    expect(refusalNotice(full, 'restoring')).toMatchObject({
      title: 'No room left on this device',
      text: 'This device has no room. Make room.',
    });
    expect(refusalNotice(new StoreError('failed', 'It stopped', 'Try again.'), 'saving')).toMatchObject({
      title: 'The backup was not saved',
      text: 'It stopped. Try again.',
    });
  });
});
