/** The meter's tables on a folder of other people's recordings (`--recordings`). */

import { distribution } from '../../src/evaluation/distribution.ts';
import { scoreNames } from '../../src/evaluation/naming.ts';
import { seedOf } from './chance.ts';
import { singleStrokes, type FolderPiano } from './folder.ts';
import { CLEAN_SNR_DB, record } from './material.ts';
import { namedNotes, pool, project, scoreRecording, type TakeScore } from './measure.ts';
import { namedInSequence, wholeTake } from './patterns.ts';
import type { Layer } from './samples.ts';
import { naming, noiseOf } from './sections.ts';
import { figure, milliseconds, perCent, type Table } from './table.ts';

/** Files as they are: one stroke each. */
export async function untouched(folder: FolderPiano): Promise<Table[]> {
  const singles = await singleStrokes(folder);
  const errors = singles.map(({ onsetError }) => Math.abs(onsetError));
  const spread = distribution(errors);
  const names = scoreNames(singles.map(({ midi, named, file }) => ({ reference: midi, estimate: named, label: file })));
  const leads = singles.flatMap(({ lead }) => (lead ? [lead] : []));
  const said = leads.filter((lead) => lead.said !== null);
  const leadErrors = leads.map(({ truth, said: lead }) => (lead === null ? Infinity : Math.abs(lead - truth)));
  return [
    {
      title: `${folder.name}: files as they are`,
      rests:
        'One stroke a file, a second of quiet in front of those cut at the tone; the truth is a pick, uncertain by 1 to 3 ms, and no constant is taken out. Contacts: strokes whose ' +
        "noise before the onset the truth is sure of; its lead against the analysis's, not found counted as infinite.",
      head: ['files', 'within 10 ms', 'median ms', '95 % ms', 'extra strokes', 'contacts found', 'lead: median ms'],
      rows: [
        [
          `${singles.length}`,
          perCent(errors.filter((error) => error <= 0.01).length / errors.length),
          milliseconds(spread.median, 2),
          milliseconds(spread.p95, 2),
          `${singles.reduce((sum, { extras }) => sum + extras, 0)}`,
          leads.length ? `${said.length} of ${leads.length}` : '-',
          leads.length ? milliseconds(distribution(leadErrors).median, 1) : '-',
        ],
      ],
    },
    {
      ...naming([{ what: 'one stroke', score: names, listed: true }]),
      title: `${folder.name}: names, one stroke alone`,
      rests: 'The files as above, each by itself.',
    },
  ];
}

/** The folder's strokes laid into takes, as those of the project's own material are. */
export async function spliced(folder: FolderPiano): Promise<Table[]> {
  const rows: string[][] = [];
  const sequences = [];
  const mixable = folder.keys(12).filter((midi) => folder.keys(8).includes(midi));
  const playings: { name: string; keys: number[]; slow: Layer; fast: Layer }[] = [
    { name: 'loud', keys: folder.keys(12), slow: 12, fast: 12 },
    { name: 'slow medium, fast loud', keys: mixable, slow: 8, fast: 12 },
  ];
  for (const { name, keys, slow, fast } of playings) {
    if (keys.length === 0) continue;
    for (const snrDb of [CLEAN_SNR_DB, 20, 12]) {
      const takes: TakeScore[] = [];
      for (const midi of keys) {
        const seed = seedOf(midi, snrDb, slow, fast);
        const plan = wholeTake({ midi, slowLayers: [slow], fastLayers: [fast], rate: 8, ringDb: -10, snrDb, seed });
        const recording = await record(plan, folder.piano);
        takes.push(scoreRecording(recording, await project(recording)));
      }
      const { onsets, timing, names } = pool(takes);
      rows.push([
        name,
        noiseOf(snrDb),
        `${takes.length}`,
        figure(onsets.fMeasure, 3),
        milliseconds(timing.absolute.median),
        milliseconds(timing.absolute.p95),
        perCent(timing.slipShare),
        `${timing.unmarkedSlips} of ${timing.strokes}`,
        perCent(timing.markedShare),
        perCent(names.share),
      ]);
    }
  }
  for (const layer of [12, 8] as const) {
    const keys = folder.keys(layer);
    if (keys.length === 0) continue;
    const recording = await record(namedInSequence(keys, layer, 0, 30, seedOf(layer, keys.length)), folder.piano);
    const score = scoreNames(namedNotes(recording, await project(recording)));
    sequences.push({ what: `in sequence, layer ${layer === 12 ? 'loud' : 'medium'}`, score, listed: true });
  }
  return [
    {
      title: `${folder.name}: laid into takes`,
      rests:
        'Another piano in another room; 8 slow and 12 fast strokes, 8 a second, half damped, distances exact by construction.',
      head: [
        'playing',
        'noise',
        'keys',
        'F ±10 ms',
        'median ms',
        '95 % ms',
        'slips %',
        'unmarked slips',
        'marked %',
        'named %',
      ],
      rows,
    },
    {
      ...naming(sequences),
      title: `${folder.name}: names in sequence`,
      rests: 'Five strokes a key in a chance order, at 30 dB.',
    },
  ];
}
