/**
 * `evenfall practice`: writes a practice recording, made strokes whose truth is known, as WAV with the truth beside it.
 */

import { join } from 'node:path';
import { Command, InvalidArgumentError, Option } from 'commander';
import { keyName } from '../piano/keys.ts';
import { writeWav } from '../soundfiles/index.ts';
import { checkPlan, type NotePlan, type PassagePlan, type PracticePlan } from '../synthesis/plan.ts';
import { makePractice } from '../synthesis/practice.ts';
import { faultTable, parseFault, parseNotes, type AskedFault } from './practiceNotation.ts';
import { makeFolder } from './folder.ts';
import { openOutput, toFile, unwritable } from './output.ts';
import { Refusal } from './refusal.ts';
import type { MidiNote } from '../units.ts';

interface PracticeFlags {
  readonly notes?: readonly MidiNote[];
  readonly out: string;
  readonly seed: number;
  readonly variant: PracticePlan['variant'];
  readonly fault?: readonly AskedFault[];
  readonly listFaults?: boolean;
  readonly slow: number;
  readonly fast: number;
  readonly rate: number;
  readonly snr: number;
  readonly sampleRate: number;
}

/** The command; `finish` is told the exit code when the recording is written. */
export function practiceCommand(finish: (exitCode: number) => void): Command {
  return new Command('practice')
    .summary('write a practice recording with its truth')
    .description(
      'Writes a practice recording: computed piano strokes (WAV) and the exact truth of each (JSON). No piano was recorded.',
    )
    .option('--notes <names>', 'notes in playing order, such as A4,D#3', parseNotes)
    .option('--out <folder>', 'where to write; made if it does not exist', '.')
    .option(
      '--seed <number>',
      'decides hand, piano and noise: the same seed gives the same sound',
      whole(0, 2 ** 31),
      1,
    )
    .addOption(
      new Option('--variant <name>', 'which of the two computed pianos')
        .choices(['training', 'judging'])
        .default('training'),
    )
    .option('--fault <fault>', 'NAME=SIZE for every note or NOTE:NAME=SIZE for one; may be given again', parseFault)
    .option('--list-faults', 'list the faults with their sizes, and write nothing')
    .option('--slow <number>', 'slow strokes of each note', whole(0, 500), 8)
    .option('--fast <number>', 'fast strokes of each note', whole(0, 500), 12)
    .option('--rate <number>', 'fast strokes a second', between(0.2, 15), 6)
    .option('--snr <dB>', 'how far the strokes stand above the noise of the room', between(-20, 120), 45)
    .option('--sample-rate <Hz>', 'samples a second', whole(22050, 96000), 48000)
    .addHelpText(
      'after',
      `
Examples:
  evenfall practice --notes A4
  evenfall practice --notes A4,D#3,C6 --out takes --seed 7
  evenfall practice --notes D#3,E3 --fault D#3:missed-repeats=0.3
  evenfall practice --notes C2 --variant judging --fast 24 --rate 8 --snr 20
  evenfall practice --list-faults`,
    )
    .action(async (flags: PracticeFlags) => finish(await run(flags)));
}

async function run(flags: PracticeFlags): Promise<number> {
  const output = await openOutput(undefined);
  if (flags.listFaults) {
    await output.write(faultTable());
    return 0;
  }
  const plan = planOf(flags);
  const { samples, sampleRate, truth } = makePractice(plan, flags.seed);
  const name = `practice-${placeName(plan.notes)}-seed-${flags.seed}`;
  try {
    await makeFolder(flags.out);
  } catch (error) {
    throw unwritable(flags.out, error);
  }
  const sound = join(flags.out, `${name}.wav`);
  const beside = join(flags.out, `${name}.truth.json`);
  // Floats, because a loud chord of noise and tone may pass full scale and must not be clipped by the file.
  await toFile(sound, writeWav([samples], sampleRate, 'float32'));
  await toFile(beside, `${JSON.stringify(truth, null, 2)}\n`);
  const strokes = `${truth.strokes.length} strokes`;
  await output.write(`${sound}: ${truth.durationSeconds.toFixed(1)} s, ${strokes}\n${beside}: their truth\n`);
  return 0;
}

/** @throws Refusal if the plan makes no sense. */
function planOf(flags: PracticeFlags): PracticePlan {
  if (!flags.notes) throw new Refusal('--notes', 'not given', 'notes in playing order, such as A4,D#3');
  const passages: PassagePlan[] = [];
  if (flags.slow > 0) passages.push({ kind: 'slow', strokes: flags.slow });
  if (flags.fast > 0) passages.push({ kind: 'fast', strokes: flags.fast, ratePerSecond: flags.rate });
  if (passages.length === 0) throw new Refusal('--slow, --fast', 'no strokes at all', 'at least one stroke');
  const { notes, fault = [], variant, sampleRate, snr } = flags;
  const stray = fault.find(({ midi }) => midi !== null && !notes.includes(midi));
  if (stray) throw new Refusal('--fault', `a fault of ${keyName(stray.midi!)}`, 'a note that --notes names');
  const plan: PracticePlan = {
    variant,
    sampleRate,
    snrDb: snr,
    notes: notes.map((midi) => ({
      midi,
      passages,
      faults: fault.filter((asked) => asked.midi === null || asked.midi === midi).map(({ fault: plain }) => plain),
    })),
  };
  try {
    checkPlan(plan, flags.seed);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const [found, expected] = error.message.split('; expected ');
    throw new Refusal('practice', found, expected);
  }
  return plan;
}

/** Notes for a file name, without the sharp that shells and links trip over: "a4-d-sharp-3", or "88-notes". */
function placeName(notes: readonly NotePlan[]): string {
  if (notes.length > 4) return `${notes.length}-notes`;
  return notes.map(({ midi }) => keyName(midi).toLowerCase().replace('#', '-sharp-')).join('-');
}

function whole(low: number, high: number): (text: string) => number {
  return (text) => {
    const value = between(low, high)(text);
    if (!Number.isInteger(value)) throw new InvalidArgumentError(`Expected a whole number, ${low} to ${high}.`);
    return value;
  };
}

function between(low: number, high: number): (text: string) => number {
  return (text) => {
    const value = text.trim() === '' ? NaN : Number(text);
    if (!(value >= low && value <= high)) throw new InvalidArgumentError(`Expected a number, ${low} to ${high}.`);
    return value;
  };
}
