/**
 * The meter: how well strokes are found, timed and named, on recordings spliced from real tones.
 *
 *   npm run accuracy                        the tables, about twenty-five minutes; that of lossy codecs needs their encoders
 *                                           (Debian: lame, opus-tools, ffmpeg) and names those that are missing
 *   npm run accuracy -- --quick             every third sampled key, no general-purpose tools
 *   npm run accuracy -- --markdown          the same, and puts the main figures into README.md
 *   npm run accuracy -- --sounds            only what is made of other sounds than takes: five minutes
 *   npm run accuracy -- --recordings DIR    also on other recordings of single strokes
 *   npm run accuracy -- --contacts          the tables on finger-key contacts alone (with --quick, --recordings)
 *   npm run accuracy -- --refit-contacts    fits their constants on what they are not judged by, and prints them
 *   npm run proof                           (--long) every condition with every other, three times
 *
 * The gate (`gate.test.ts`) holds a part of this with the same comparer.
 */

import { readFile, writeFile } from 'node:fs/promises';
import { parseArgs } from 'node:util';
import { aubioPresent } from './aubio.ts';
import { seedOf } from './chance.ts';
import { CODEC_KEYS } from './codecs.ts';
import { codecTable } from './codecSections.ts';
import { ALL_KEYS, COMPASS, DETUNINGS, faults, SOME_KEYS, type Condition } from './conditions.ts';
import { meterContacts, refitContacts } from './contactMeter.ts';
import { folderPianos } from './folder.ts';
import { spliced, untouched } from './folderSections.ts';
import { headlineNames, headlineOnsets } from './headline.ts';
import { record, type Recording } from './material.ts';
import { kindsTable, measureKinds, PRACTICE_KEYS, reliability, statedInPractice } from './kindsMeter.ts';
import { pool, scoreAlone, scoreRecording, scoreSequence, scoreTake, type TakeScore } from './measure.ts';
import { namedAlone, namedInSequence } from './patterns.ts';
import { AUBIO_PITCH, aubioAtBest, fluxAtBest, LIBRARY_PITCH, scorePitchPeer } from './peers.ts';
import {
  betweenLayers,
  byCondition,
  byLoudness,
  byRegister,
  kinds,
  measureConditions,
  naming,
  peers,
  zero,
  type Measured,
  type NamingRow,
  type PeerRow,
} from './sections.ts';
import type { Layer } from './samples.ts';
import { otherSounds, pianoWithoutTakes, takesInTrouble } from './soundSections.ts';
import { asMarkdown, asText, replaceBetween, type Table } from './table.ts';
import { zeroScatter } from './zero.ts';

const BEGIN = '<!-- accuracy:begin -->';
const END = '<!-- accuracy:end -->';

const { values: options } = parseArgs({
  options: {
    markdown: { type: 'boolean', default: false },
    long: { type: 'boolean', default: false },
    quick: { type: 'boolean', default: false },
    sounds: { type: 'boolean', default: false },
    recordings: { type: 'string' },
    contacts: { type: 'boolean', default: false },
    'refit-contacts': { type: 'boolean', default: false },
  },
});

if (options.markdown && options.quick) throw new RangeError('--markdown needs the whole meter; leave --quick out');

/** Each table as soon as it is there: the long ones take their time. */
function show(...made: readonly Table[]): void {
  for (const table of made) console.log(asText(table));
}

if (options['refit-contacts']) {
  console.log(await refitContacts(options.recordings));
  process.exit();
}
if (options.sounds) {
  show(await otherSounds());
  show(await pianoWithoutTakes());
  show(await takesInTrouble(SOME_KEYS));
  process.exit();
}
if (options.contacts) {
  await meterContacts(show, options);
  process.exit();
}

const keys = options.quick ? ALL_KEYS.filter((_, i) => i % 3 === 0) : ALL_KEYS;
const compass = options.quick ? COMPASS.filter((_, i) => i % 4 === 0) : COMPASS;
const withTools = !options.quick;
const withAubio = withTools && aubioPresent();
if (withTools && !withAubio) console.log('aubio-tools are not installed: their rows are left out.\n');

const measured = await measureConditions(keys, options.long, async (condition, midi) =>
  scoreTake(await condition.plan(midi)),
);
show(byCondition(measured), byRegister(measured), byLoudness(measured), betweenLayers(measured));

const faulty: TakeScore[] = [];
for (const seed of options.long ? [0, 1, 2, 3] : [0]) {
  for (const midi of keys) faulty.push(await scoreTake(await faults(midi, seed)));
}
show(kinds(faulty, measured));
const byKind = await measureKinds(keys.filter((_, i) => options.quick || i % 2 === 0));
const practised = (variant: 'training' | 'judging', shift: number) =>
  [40, 20].flatMap((snrDb) =>
    statedInPractice(
      variant,
      PRACTICE_KEYS.map((key) => key + shift),
      snrDb,
    ),
  );
show(
  kindsTable(byKind),
  reliability([
    { name: 'training', stated: practised('training', 0) },
    { name: 'judging', stated: practised('judging', 1) },
    { name: 'spliced', stated: byKind.rows.flatMap(({ takes }) => takes.flatMap(({ stated }) => stated)) },
  ]),
);
// Neighbouring keys are needed, which the quick run leaves out.
if (!options.quick) show(zero(await zeroScatter(singleLayer(measured))));
const names = [...(await ownNames()), ...(withTools ? await toolNames() : [])];
show(naming(names));
const beside = withTools ? await peerRows() : [];
if (withTools) show(peers(beside, keys.length));

show(await codecTable(options.quick ? CODEC_KEYS.filter((_, i) => i % 4 === 1) : CODEC_KEYS));
await meterContacts(show, options);

if (options.recordings) {
  for (const folder of await folderPianos(options.recordings)) {
    show(...(await untouched(folder)), ...(await spliced(folder)));
  }
}

if (options.markdown) {
  const block = [headlineOnsets(beside, keys.length), kinds(faulty, measured), headlineNames(names)]
    .map(asMarkdown)
    .join('\n');
  const readme = new URL('../../README.md', import.meta.url);
  await writeFile(readme, replaceBetween(await readFile(readme, 'utf8'), BEGIN, END, block));
}

/** The takes at 20 dB that are of one layer each. */
function singleLayer(all: readonly Measured[]): { layer: Layer; score: TakeScore }[] {
  const layerOf = ({ series, snrDb, name }: Condition): Layer | null => {
    if (series === 'noise' && snrDb === 20) return 8;
    if (series !== 'loudness') return null;
    return name.includes('soft') ? 4 : 12;
  };
  return all.flatMap(({ condition, takes }) => {
    const layer = layerOf(condition);
    return layer === null ? [] : takes.map((score) => ({ layer, score }));
  });
}

async function ownNames(): Promise<NamingRow[]> {
  const rows: NamingRow[] = [];
  for (const cents of DETUNINGS) {
    const plans = compass.map((midi) => namedAlone(midi, 8, cents, 30, seedOf(midi, cents + 100)));
    rows.push({ what: `alone, medium, 30 dB, ${cents} cents`, score: await scoreAlone(plans), listed: true });
  }
  for (const [layer, snrDb] of [
    [4, 30],
    [12, 30],
    [8, 12],
  ] as const) {
    const plans = compass.map((midi) => namedAlone(midi, layer, 0, snrDb, seedOf(midi, layer, snrDb)));
    const what = `alone, ${layer === 4 ? 'soft' : layer === 12 ? 'loud' : 'medium'}, ${snrDb} dB, 0 cents`;
    rows.push({ what, score: await scoreAlone(plans), listed: true });
  }
  for (const cents of DETUNINGS) {
    const plan = namedInSequence(compass, 8, cents, 30, seedOf(88, cents + 100));
    rows.push({ what: `in sequence, medium, 30 dB, ${cents} cents`, score: await scoreSequence(plan), listed: true });
  }
  return rows;
}

/** The tools are slow: half the keys, in tune and 40 cents sharp. */
async function toolNames(): Promise<NamingRow[]> {
  const recordings: Recording[] = [];
  for (const midi of compass.filter((_, i) => i % 2 === 0)) {
    for (const cents of [0, 40]) {
      recordings.push(await record(namedAlone(midi, 8, cents, 30, seedOf(midi, cents + 100))));
    }
  }
  return [...LIBRARY_PITCH, ...(withAubio ? AUBIO_PITCH : [])].map((peer) => ({
    what: `${peer.name} (0 and 40 cents)`,
    score: scorePitchPeer(peer, recordings),
    listed: false,
  }));
}

async function peerRows(): Promise<PeerRow[]> {
  const rows: PeerRow[] = [];
  for (const { condition, takes } of measured.filter((m) => m.condition.series === 'noise')) {
    const { snrDb } = condition;
    rows.push({ snrDb, tool: 'Evenfall', setting: '', pool: pool(takes) });
    const recordings: Recording[] = [];
    for (const midi of keys) recordings.push(await record(await condition.plan(midi)));
    for (const heard of [...(withAubio ? [aubioAtBest(recordings)] : []), fluxAtBest(recordings)]) {
      const scores = recordings.map((recording, i) => scoreRecording(recording, heard.heard[i]));
      rows.push({ snrDb, tool: heard.tool, setting: heard.setting, pool: pool(scores) });
    }
  }
  return rows;
}
