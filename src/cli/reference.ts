/**
 * `evenfall reference`: recordings of notes known to be in order in, the hand's own scale out, as a file for later rounds.
 */

import { Command } from 'commander';
import { learnReference, type HandReference } from '../analysis/reference.ts';
import { openOutput } from './output.ts';
import { mended, readRound } from './rounds.ts';

interface ReferenceFlags {
  readonly out: string;
}

/** The command; `finish` is told the exit code when the reference is written. */
export function referenceCommand(finish: (exitCode: number) => void): Command {
  return new Command('reference')
    .summary('learn the hand on notes known to be in order')
    .description(
      'Learns what the hand alone does from recordings of notes known to be in order, so that later a single note can be judged.',
    )
    .argument('<file...>', 'recordings, folders of recordings, or analyses (JSON): twelve notes or more')
    .requiredOption('--out <file>', 'the reference to write (evenfall.reference/1)')
    .addHelpText(
      'after',
      `
Examples:
  evenfall reference in-order.wav --out hand.json
  evenfall analyse --reference hand.json one-note.wav

Exit code: 0 learned; 2 bad arguments, too few notes, a file that cannot be read or output that cannot be written;
1 a fault of the program.`,
    )
    .action(async (files: string[], flags: ReferenceFlags) => finish(await run(files, flags)));
}

async function run(files: readonly string[], { out }: ReferenceFlags): Promise<number> {
  const output = await openOutput(out, files);
  const { document, incomplete } = await readRound(files, undefined);
  const reference = mended(() => learnReference(document), files.join(', '));
  await output.write(`${JSON.stringify(reference, null, 2)}\n`);
  await output.close();
  const words = await openOutput(undefined);
  await words.write(referenceWords(reference, out));
  await words.close();
  return incomplete ? 2 : 0;
}

/** What was learned, for a person. */
export function referenceWords(reference: HandReference, out: string): string {
  const { scale, logError, referenceTravel, slopePerDb, notes, baseRates } = reference;
  const low = 100 * scale * Math.exp(-1.645 * logError);
  const high = 100 * scale * Math.exp(1.645 * logError);
  return [
    `${out}: the hand, learned on ${notes} notes.`,
    `On notes in order the travel time at equal loudness strays by ${(100 * scale).toFixed(1)} % (${low.toFixed(1)} to ${high.toFixed(1)} %), ${(1000 * scale * referenceTravel).toFixed(1)} ms of ${(1000 * referenceTravel).toFixed(0)} ms; it falls by ${(-100 * slopePerDb).toFixed(1)} % a dB.`,
    baseRates === null
      ? 'How often quick repeats fail by the hand alone is not in it: that takes fast strokes of these notes too.'
      : `By the hand alone ${(100 * baseRates.steady.silent).toFixed(1)} in 100 quick repeats stay silent.`,
    'It holds for this player, this touch and this place of the microphone; learn it again when one of them changes.',
    '',
  ].join('\n');
}
