/** What the backup screen says. */

import { describe, expect, it } from 'vitest';
import { broughtInWords, refusalNotice, savedWords, sizeWords } from '../../src/app/backup/backupWords.ts';
import { UnreadThings } from '../../src/app/desk/unread.ts';
import { noCounts } from '../../src/storage/backup/contents.ts';
import { StoreError } from '../../src/storage/store.ts';

describe('what came of it', () => {
  const counts = (some: object) => ({ ...noCounts(), ...some });

  const differs = (number: number, unread: string | null) =>
    ({ shelf: 'takes', id: `t${number}`, place: `take ${number} in visit 1`, unread }) as const;

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
      'Nothing brought in; 4 were here already. Here with other content, and left as it is: take 1 in visit 1.',
    ],
    [
      {},
      { visits: 1, takes: 8 },
      8,
      'Nothing brought in; 9 were here already. Here with other content, and left as they are: take 1 in visit 1, take 2 in visit 1, take 3 in visit 1, take 4 in visit 1, take 5 in visit 1, and 3 more.',
    ],
  ])('of %j with %j here, %i differing: %s', (broughtIn, here, differing, words) => {
    const found = Array.from({ length: differing }, (_, i) => differs(i + 1, null));
    expect(broughtInWords({ broughtIn: counts(broughtIn), here: counts(here), differing: found })).toBe(words);
  });

  it('names what is here and cannot be read, and says why', () => {
    const differing = [differs(2, 'take "t2": "frames" is "x"; expected a whole number'), differs(3, null)];
    expect(broughtInWords({ broughtIn: counts({}), here: counts({ takes: 2 }), differing })).toBe(
      'Nothing brought in; 2 were here already. Here with other content, and left as it is: take 3 in visit 1. ' +
        'Here but not to be read, and left as it is: take 2 in visit 1 (take "t2": "frames" is "x"; expected a whole number). ' +
        'To have it from the backup, remove the visit here first.',
    );
  });

  it('says what was saved, and what is not in it', () => {
    const made = { counts: counts({ visits: 1, takes: 31 }), bytes: 253e6, withoutSound: [] };
    expect(savedWords(made)).toBe('Saved: 1 visit, 31 takes, 253 MB.');
    const lost = { id: 't1', place: 'take 2 in visit 1', why: 'piece 3 is lost' };
    expect(savedWords({ ...made, withoutSound: [lost] })).toBe(
      'Saved: 1 visit, 31 takes, 253 MB. Not in it, as it is damaged on this device: the sound of take 2 in visit 1 (piece 3 is lost).',
    );
    expect(savedWords(made, ['round "r": made by a newer Evenfall'])).toBe(
      'Saved: 1 visit, 31 takes, 253 MB. Not in it, as it cannot be read on this device: Round "r": made by a newer Evenfall.',
    );
    expect(sizeWords({ visits: 2, takes: 31, soundBytes: 253e6 }, true)).toBe('2 visits, 31 takes, about 253 MB');
    expect(sizeWords({ visits: 1, takes: 0, soundBytes: 0 }, false)).toBe('0 takes, without sound');
  });
});

describe('what is kept and cannot be read', () => {
  const error = (message: string) => new StoreError('damaged', message, 'Leave it out.');

  it('is named once, the first three in words', () => {
    const unread = new UnreadThings();
    const end = unread.watch();
    expect([
      unread.add('takes', 'a', error('take "a" is x')),
      unread.add('takes', 'a', error('take "a" is x')),
    ]).toEqual([true, false]);
    expect(unread.words).toBe('Take "a" is x. Leave it out.');
    for (const id of ['b', 'c', 'd']) unread.add('takes', id, error(`take "${id}" is x`));
    unread.add('rounds', null, error('round is "x"'));
    expect(unread.words).toBe('Take "a" is x. Take "b" is x. Take "c" is x. And 2 more. Leave it out.');
    expect(end()).toHaveLength(5);
    unread.add('rounds', 'late', error('round "late" is x'));
    expect(unread.watch()()).toEqual([]);
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
