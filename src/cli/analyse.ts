/**
 * `evenfall analyse`: recordings in, what was heard out, as a table or as the JSON of the analysis document.
 *
 * A recording that cannot be read does not keep the others from being analysed: it is named on standard error, keeps
 * its place in the JSON, and the exit code is 2.
 */

import { realpath } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Command } from 'commander';
import { ERROR_SCHEMA } from '../analysis/document.ts';
import { together } from '../analysis/together.ts';
import { parseKeyName } from '../piano/keys.ts';
import { hearAll } from './hearAll.ts';
import type { HeardRecording } from './hearRecording.ts';
import { HOW_TO_READ } from './howToRead.ts';
import { STANDARD_INPUT } from './input.ts';
import { listing } from './listing.ts';
import { openOutput } from './output.ts';
import { openPlots, stemOf } from './plot.ts';
import { Refusal } from './refusal.ts';
import { readReferenceFile } from './rounds.ts';

interface AnalyseFlags {
  readonly json?: boolean;
  readonly strokes?: boolean;
  readonly output?: string;
  readonly firstNote?: string;
  readonly plot?: string;
  readonly together?: boolean;
  readonly reference?: string;
}

/** The command; `finish` is told the exit code when the analysis is done. */
export function analyseCommand(finish: (exitCode: number) => void): Command {
  return new Command('analyse')
    .summary('list what was heard in recordings')
    .description(
      'Hears the strokes in recordings (WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3) and lists note by note how they repeat.',
    )
    .argument('[file...]', 'recordings; - reads one from standard input')
    .option('--json', 'write the analysis document (evenfall.analysis/1), full precision')
    .option('--strokes', 'add a line for each stroke to the table')
    .option('--first-note <name>', 'the key played first, for a piano more than 40 cents off pitch')
    .option('--together', 'pool the recordings into one round: one document, notes measured over all of them')
    .option('--reference <file>', 'the hand, learned with evenfall reference: then a single note can be judged')
    .option('--plot <folder>', 'draw each note as a picture (SVG) there; the folder is made if missing')
    .option('--output <file>', 'write there instead of standard output')
    .addHelpText(
      'after',
      `
Examples:
  evenfall analyse a4.wav                       one recording, as a table
  evenfall analyse --strokes a4.wav             the same, with a line for each stroke
  evenfall analyse --json round1/*.flac         several recordings, an array in this order
  evenfall analyse --json --output a.json a.wav
  evenfall analyse --together round1/*.flac     the same as one round, notes over all recordings
  evenfall analyse --plot pictures a4.wav       also pictures/a4-A4.svg
  evenfall analyse --first-note A4 low.wav      a piano far below pitch, A4 played first
  ffmpeg -i film.mov -f wav - | evenfall analyse -

Exit code: 0 all analysed; 2 bad arguments, a recording that cannot be read or output that cannot be written;
1 a fault of the program.`,
    )
    .action(async (files: string[], flags: AnalyseFlags) => finish(await run(files, flags)));
}

async function run(files: readonly string[], flags: AnalyseFlags): Promise<number> {
  if (files.length === 0) {
    throw new Refusal('analyse', 'no file named', 'one or more recordings, or - for standard input');
  }
  if (files.filter((file) => file === STANDARD_INPUT).length > 1) {
    throw new Refusal(STANDARD_INPUT, 'standard input named more than once', 'it once, as it can be read once only');
  }
  const firstNote = flags.firstNote === undefined ? undefined : keyNamed(flags.firstNote);
  if (flags.together) await refuseRepeats(files);
  const inputs = flags.reference === undefined ? files : [...files, flags.reference];
  const output = await openOutput(flags.output, inputs);
  const reference = flags.reference === undefined ? undefined : await readReferenceFile(flags.reference);
  const plots = flags.plot === undefined ? null : await openPlots(flags.plot, files);
  // Beside JSON on standard output there is no room for words.
  const say = async (words: string) => (flags.json ? void process.stderr.write(words) : output.write(words));
  const heard: HeardRecording[] = [];
  await hearAll(files, { firstNote, reference, keepSound: plots !== null }, async ({ document, sound }, i) => {
    const file = files[i];
    // Sound is large: it is kept only where all recordings are drawn together at the end.
    heard.push({ document, sound: flags.together ? sound : null });
    if (document.schema === ERROR_SCHEMA) process.stderr.write(`evenfall: ${file}: ${document.message}\n`);
    else if (!flags.together) {
      if (!flags.json) await output.write(listing(document, flags.strokes ?? false));
      if (plots) await say(await plots.write(stemOf(file), document, { files: [file], sounds: [sound] }));
    }
  });
  const documents = heard.map(({ document }) => document);
  if (flags.together) {
    const pooled = together(documents, { reference });
    await output.write(flags.json ? json(pooled) : listing(pooled, flags.strokes ?? false));
    const sounds = heard.map(({ sound }) => sound);
    if (plots) await say(await plots.write('together', pooled, { files, sounds }));
  } else if (flags.json) await output.write(json(documents.length === 1 ? documents[0] : documents));
  if (!flags.json && documents.some((each) => each.schema !== ERROR_SCHEMA && each.notes.length > 0)) {
    await output.write(`${HOW_TO_READ.join('\n')}\n`);
  }
  await output.close();
  return documents.some(({ schema }) => schema === ERROR_SCHEMA) ? 2 : 0;
}

/** @throws Refusal for a recording named twice: pooled, its strokes would count twice. */
async function refuseRepeats(files: readonly string[]): Promise<void> {
  const places = await Promise.all(files.map((file) => realpath(file).catch(() => resolve(file))));
  const repeat = files.find((_, i) => places.indexOf(places[i]) < i);
  if (repeat !== undefined) {
    throw new Refusal(
      repeat,
      'named more than once with --together',
      'each recording once, or its strokes count twice',
    );
  }
}

function json(value: unknown): string {
  return `${JSON.stringify(value, null, 2)}\n`;
}

function keyNamed(name: string): number {
  try {
    return parseKeyName(name);
  } catch {
    throw new Refusal('--first-note', `"${name}"`, 'the name of a key from A0 to C8, such as F#4');
  }
}
