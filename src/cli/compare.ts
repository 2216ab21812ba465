/**
 * `evenfall compare`: two rounds of one piano in, what changed note by note and over the whole piano out, as lines or as a comparison document.
 */

import { resolve } from 'node:path';
import { realpath } from 'node:fs/promises';
import { Command } from 'commander';
import { compareDocuments, type ComparisonDocument, type NoteComparison } from '../analysis/compare.ts';
import { OneTemplate } from '../analysis/oneTemplate.ts';
import { keyName } from '../piano/keys.ts';
import { openOutput } from './output.ts';
import { Refusal } from './refusal.ts';
import { mended, readReferenceFile, readRound } from './rounds.ts';

interface CompareFlags {
  readonly json?: boolean;
  readonly output?: string;
  readonly reference?: string;
}

/** The command; `finish` is told the exit code when the comparison is done. */
export function compareCommand(finish: (exitCode: number) => void): Command {
  return new Command('compare')
    .summary('say note by note whether an adjustment helped')
    .description('Compares two rounds of one piano: before an adjustment, and after.')
    .argument('<before>', 'a recording, a folder of recordings, or the JSON of evenfall analyse --json')
    .argument('<after>', 'the same, played after')
    .option('--json', 'write the comparison document (evenfall.comparison/1), full precision')
    .option('--reference <file>', 'the hand, learned with evenfall reference: needed below twelve notes')
    .option('--output <file>', 'write there instead of standard output')
    .addHelpText(
      'after',
      `
Examples:
  evenfall compare before.wav after.wav            two recordings
  evenfall compare round1 round2                   two folders of recordings
  evenfall compare before.json after.json          two analyses, kept with analyse --json --together
  evenfall compare --reference hand.json a.wav b.wav

Recordings tell more than analyses: both rounds are then timed by one template a note.

Exit code: 0 compared; 2 bad arguments, a round that cannot be read or output that cannot be written;
1 a fault of the program.`,
    )
    .action(async (before: string, after: string, flags: CompareFlags) => finish(await run(before, after, flags)));
}

async function run(before: string, after: string, flags: CompareFlags): Promise<number> {
  const [first, second] = await Promise.all([before, after].map((name) => realpath(name).catch(() => resolve(name))));
  if (first === second) throw new Refusal(after, 'the same as before', 'another round, played after the work');
  const inputs = [before, after, ...(flags.reference === undefined ? [] : [flags.reference])];
  const output = await openOutput(flags.output, inputs);
  const reference = flags.reference === undefined ? undefined : await readReferenceFile(flags.reference);
  const timed = new OneTemplate();
  const earlier = await readRound([before], reference, (samples, rate, { strokes }) => {
    timed.add('before', samples, rate, strokes);
  });
  const later = await readRound([after], reference, (samples, rate, { strokes }) => {
    timed.add('after', samples, rate, strokes);
  });
  const zeros = earlier.fromSound && later.fromSound ? timed.zeros() : undefined;
  const document = mended(() => compareDocuments(earlier.document, later.document, { reference, zeros }));
  await output.write(flags.json ? `${JSON.stringify(document, null, 2)}\n` : changeListing(document));
  await output.close();
  return earlier.incomplete || later.incomplete ? 2 : 0;
}

/** What the statistics can show of a single note (simulation study); among many notes it takes a little more. */
const NO_PROOF =
  '"No change shown" is not "no change": with 12 usable slow strokes in each round a scatter cut to a third mostly shows; one cut to a half takes about 24.';

/** Worse first: it is to be seen to; then improved, and the rest from bass to treble. */
const ORDER = ['worse', 'improved', 'no-change-shown', 'insufficient'] as const;

/** The comparison as text for a person: one line a note. */
export function changeListing(document: ComparisonDocument): string {
  const names = [document.before, document.after].map(({ sources }) => sources.map(({ file }) => file).join(', '));
  const lines = [`Before: ${names[0]}`, `After: ${names[1]}`, ''];
  for (const { code, message } of document.advice) lines.push(`Note (${code}): ${message}`);
  if (document.advice.length > 0) lines.push('');
  const width = Math.max(0, ...document.notes.map(({ name }) => name.length));
  const line = ({ name, words }: NoteComparison) => `${name.padEnd(width)}  ${words}`;
  for (const change of ORDER) lines.push(...document.notes.filter((note) => note.change === change).map(line));
  if (document.notes.length > 0) {
    lines.push('', counts(document));
    lines.push(NO_PROOF);
    if (document.whole) lines.push('', 'The whole piano:', ...document.whole.words);
    for (const [midis, when] of [
      [document.onlyBefore, 'before'],
      [document.onlyAfter, 'after'],
    ] as const) {
      if (midis.length > 0) lines.push(`Played ${when} only: ${midis.map(keyName).join(', ')}.`);
    }
  }
  return `${lines.join('\n')}\n`;
}

function counts({ notes }: ComparisonDocument): string {
  const words = {
    worse: 'worse',
    improved: 'improved',
    'no-change-shown': 'no change shown',
    insufficient: 'too few strokes',
  };
  const parts = ORDER.flatMap((change) => {
    const count = notes.filter((note) => note.change === change).length;
    return count > 0 ? [`${count} ${words[change]}`] : [];
  });
  return `${notes.length} ${notes.length === 1 ? 'note' : 'notes'}: ${parts.join(', ')}.`;
}
