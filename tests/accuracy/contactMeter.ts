/** The contact part of the meter, in order; each table is shown as soon as it is there. */

import { throughCodecs } from './contactCodecs.ts';
import { recordedNoises } from './contactFolder.ts';
import { recordedContacts, untrimmedContacts } from './contactFolderSections.ts';
import { latePerDb, lateness, thumpLateness } from './contactLateness.ts';
import { CHOOSING_KEYS, JUDGING_KEYS, type RecordedNoise } from './contactMaterial.ts';
import { byCase, CONTACT_CASES, contactsByRegister, foundAgainstFalse, hearCase } from './contactSections.ts';
import { fittedWeights, reliability, saidInCases, saidInPractice } from './contactWorth.ts';
import { folderPianos } from './folder.ts';
import type { Table } from './table.ts';

/** Measures contacts on keys on which nothing was chosen; quickly: on every third of them, without codecs. */
export async function meterContacts(
  show: (...tables: Table[]) => void,
  { quick, recordings }: { readonly quick: boolean; readonly recordings?: string },
): Promise<void> {
  const keys = quick ? JUDGING_KEYS.filter((_, i) => i % 3 === 0) : JUDGING_KEYS;
  const cases = [];
  for (const one of CONTACT_CASES) cases.push(await hearCase(one, keys));
  show(byCase(cases), contactsByRegister(cases), foundAgainstFalse(cases));
  show(await lateness(keys));
  const parts = [
    { name: 'made recordings', said: saidInPractice('judging', quick ? 2 : undefined) },
    { name: 'noises before real tones', said: saidInCases(cases) },
  ];
  if (recordings) {
    for (const folder of await folderPianos(recordings)) show(...(await untrimmedContacts(folder)));
    const noises = await recordedNoises(recordings);
    const recorded = await recordedContacts(noises, keys);
    show(...recorded.tables);
    if (noises.length) show(await lateness(keys, noises));
    if (recorded.cases.length) parts.push({ name: 'recorded noises', said: saidInCases(recorded.cases) });
  }
  show(reliability(parts));
  if (!quick) show(await throughCodecs(keys.filter((_, i) => i % 3 === 0)));
}

/** Fits the constants that are fitted, on what nothing is judged by, and says where they belong. */
export async function refitContacts(recordings?: string): Promise<string> {
  const weights = fittedWeights(saidInPractice('training'));
  const written = weights.map((weight) => weight.toFixed(2)).join(', ');
  const lines = [`CONTACT_WEIGHTS in src/strokes/contactConfidence.ts: [${written}]`];
  const late = async (what: string, noises: readonly RecordedNoise[]): Promise<void> => {
    const { found } = await thumpLateness(CHOOSING_KEYS, noises);
    lines.push(`LATE_PER_DB in src/strokes/contacts.ts: ${(-latePerDb(found)).toFixed(6)} for ${what}`);
  };
  await late('modelled thumps', []);
  if (recordings) await late('recorded noises', await recordedNoises(recordings));
  return lines.join('\n');
}
