/** `evenfall export`: a visit in, out as tables (CSV), as JSON, and as sound with marks (WAV). */

import { join } from 'node:path';
import { Command } from 'commander';
import { keyName } from '../piano/keys.ts';
import type { Take } from '../record/types.ts';
import { visitTables } from '../report/tables.ts';
import type { ReportedVisit } from '../report/visit.ts';
import { visitText } from '../report/visitFile.ts';
import { takeCues, withCuePoints, writeKept } from '../soundfiles/index.ts';
import { makeFolder } from './folder.ts';
import { STANDARD_INPUT } from './input.ts';
import { checkPlace, openOutput, toFile, unwritable } from './output.ts';
import { Refusal } from './refusal.ts';
import { judgeVisit } from './visits/judgeVisit.ts';
import { chosenVisit, openVisits, type OpenedVisit } from './visits/openVisits.ts';
import { toldOnTerminal, writeVisits, type VisitFlags } from './visits/visitFlags.ts';

interface ExportFlags extends VisitFlags {
  readonly csv?: string;
  readonly json?: string;
  readonly wav?: string;
}

/** The command; `finish` is told the exit code when all is written. */
export function exportCommand(finish: (exitCode: number) => void): Command {
  return new Command('export')
    .summary('write a visit as tables, as JSON, or as sound with marks')
    .description('Judges the rounds of a visit again and writes what is kept of it in forms that other programs read.')
    .argument('<file>', 'a backup made by the app, or a visit as JSON (evenfall.visit/1); - for standard input')
    .option('--csv <folder>', 'strokes.csv, notes.csv and work.csv there (RFC 4180)')
    .option('--json <file>', 'all of the visit but its sound, as evenfall.visit/1; - for standard output')
    .option('--wav <folder>', 'the kept takes there as WAV, with cue points at contacts and onsets')
    .option('--visit <number>', 'which visit of a backup: its number or id; the newest where it is left out')
    .option('--list', 'list the visits in the file, and write nothing')
    .addHelpText(
      'after',
      `
Examples:
  evenfall export backup.zip --csv tables
  evenfall export backup.zip --visit 2 --json may.json
  evenfall export backup.zip --json - | less
  evenfall export backup.zip --wav takes --csv tables

Folders are made where they are missing. Exit code: 0 written; 2 bad arguments, a file that cannot be read or
output that cannot be written; 1 a fault of the program.`,
    )
    .action(async (file: string, flags: ExportFlags) => finish(await run(file, flags)));
}

async function run(file: string, flags: ExportFlags): Promise<number> {
  const { csv, json, wav, list } = flags;
  if (!list && csv === undefined && json === undefined && wav === undefined)
    throw new Refusal('export', 'nothing to write', '--csv, --json or --wav');
  const terminal = await openOutput(undefined);
  const visits = await openVisits(file);
  if (list) {
    await writeVisits(terminal, visits);
    return 0;
  }
  const chosen = chosenVisit(file, visits, flags.visit);
  const toPipe = json === STANDARD_INPUT;
  // What goes to standard output is the visit alone.
  const say = toPipe ? async () => {} : (line: string) => terminal.write(line);
  const output = json === undefined ? null : await openOutput(toPipe ? undefined : json, [file]);
  // Before anything is judged, which takes seconds.
  for (const folder of [csv, wav]) if (folder !== undefined) await placeIn(folder, 'visit', file);
  if (output !== null || csv !== undefined) {
    const reported = await judgeVisit(chosen, toldOnTerminal());
    if (output) {
      await output.write(visitText(reported));
      await output.close();
      await say(`${json}: the visit\n`);
    }
    if (csv !== undefined) await writeTables(csv, file, reported, say);
  }
  if (wav !== undefined) await writeSounds(wav, file, chosen, say);
  return 0;
}

type Say = (line: string) => Promise<void>;

async function writeTables(folder: string, input: string, reported: ReportedVisit, say: Say): Promise<void> {
  for (const { file, text } of visitTables(reported)) {
    const path = await placeIn(folder, file, input);
    await toFile(path, text);
    await say(`${path}: ${text.split('\r\n').length - 2} rows\n`);
  }
}

async function writeSounds(folder: string, input: string, { things, sound }: OpenedVisit, say: Say): Promise<void> {
  const rounds = new Map(things.rounds.map(({ id, number }) => [id, number]));
  let without = 0;
  for (const take of things.takes) {
    const samples = await sound(take.id);
    if (samples === null) {
      without++;
      continue;
    }
    const path = await placeIn(folder, soundName(take, rounds.get(take.roundId) ?? 0), input);
    const cues = takeCues(take);
    await toFile(path, withCuePoints(plainWav(take, samples), cues));
    await say(`${path}: ${cues.length} cue points\n`);
  }
  if (without > 0) await say(`${without} of ${things.takes.length} takes without sound in ${input}\n`);
}

function plainWav({ id, sampleRate }: Take, samples: Int16Array): Uint8Array {
  try {
    return writeKept(samples, sampleRate);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const [found, expected] = error.message.split('; expected ');
    throw new Refusal(`take ${id}`, found, expected);
  }
}

function soundName({ number, midi }: Take, round: number): string {
  const note = midi < 21 || midi > 108 ? `key-${midi}` : keyName(midi).replace('#', '-sharp-');
  return `round-${round}-take-${String(number).padStart(3, '0')}-${note}.wav`;
}

async function placeIn(folder: string, name: string, input: string): Promise<string> {
  try {
    await makeFolder(folder);
  } catch (error) {
    throw unwritable(folder, error);
  }
  const path = join(folder, name);
  await checkPlace(path, input === STANDARD_INPUT ? [] : [input]);
  return path;
}
