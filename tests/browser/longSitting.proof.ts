/** A sitting of fourteen notes without a stored hand, in real time: the round judges itself, as the command line does. */

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/read.ts';
import { servePage } from '../app/browser.ts';
import { launchWithSound, writeSound } from './fakeMicrophone.ts';
import { heardWhole, MISSED, sittingSound } from './sittingSound.ts';
import { beginSitting, takesKept, toRound } from './visitSteps.ts';

const NOTES = [45, 48, 51, 54, 55, 58, 60, 62, 66, 67, 69, 70, 73, 75];
const BAD = [60];

it('hears fourteen notes; the one that misses its repeats is unstable, no other is, as on the file', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-long-'));
  const path = join(folder, 'fourteen.wav');
  const notes = NOTES.map((midi) => (BAD.includes(midi) ? { midi, missed: MISSED } : { midi }));
  writeSound(path, await sittingSound(notes, 6));
  const whole = heardWhole((await readSound(readFileSync(path))).channels[0]);
  const unstable = whole.notes.filter(({ verdict }) => verdict === 'unstable').map(({ midi }) => midi);
  expect(unstable).toEqual(BAD);

  const built = await servePage();
  const listener = await launchWithSound(path);
  const page = await listener.open(built.origin);
  await beginSitting(page, 'Aldervane 274');
  const takes = await takesKept(page, NOTES.length, 240_000);
  await toRound(page);
  expect(takes.map(({ midi }) => midi)).toEqual(NOTES);
  const flagged = page.locator('.round-notes > li', { has: page.locator('.verdict.unstable') });
  expect(await flagged.locator('.note .unseen').allTextContents()).toEqual(['C4']);
  expect(listener.complaints).toEqual([]);
  await listener.close();
  await built.close();
  rmSync(folder, { recursive: true, force: true });
}, 400_000);
