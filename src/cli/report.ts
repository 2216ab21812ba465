/**
 * `evenfall report`: a visit in, its record out as one HTML file that asks for nothing: the owner's page and the technician's sheets.
 */

import { stat } from 'node:fs/promises';
import { Command } from 'commander';
import { reportHtml } from '../report/html.ts';
import { reportName, reportOf } from '../report/model.ts';
import { STANDARD_INPUT } from './input.ts';
import { openOutput } from './output.ts';
import { judgeVisit } from './visits/judgeVisit.ts';
import { chosenVisit, openVisits, type OpenedVisit } from './visits/openVisits.ts';
import { recordedVisit } from './visits/recordedVisit.ts';
import { toldOnTerminal, writeVisits, type VisitFlags } from './visits/visitFlags.ts';

interface ReportFlags extends VisitFlags {
  readonly output?: string;
}

/** The command; `finish` is told the exit code when the report is written. */
export function reportCommand(finish: (exitCode: number) => void): Command {
  return new Command('report')
    .summary('write the record of a visit: a page for the owner, sheets for the technician')
    .description(
      'Judges the rounds of a visit again, compares them, and writes the report as one HTML file to print or send.',
    )
    .argument(
      '<file...>',
      'a backup made by the app, or a visit as JSON (evenfall.visit/1), - for standard input; or recordings, each a round',
    )
    .option('--visit <number>', 'which visit of a backup: its number or id; the newest where it is left out')
    .option('--list', 'list the visits in the file, and write nothing')
    .option('-o, --output <file>', 'where to write; - for standard output; else a name made of piano and day')
    .addHelpText(
      'after',
      `
Examples:
  evenfall report backup.zip                    the newest visit, as evenfall-PIANO-DAY.html
  evenfall report backup.zip --list             which visits are in it
  evenfall report backup.zip --visit 2 -o may.html
  evenfall report visit.json -o - | less
  evenfall report before.wav after.wav          recordings or folders of them: one visit, each a round

Exit code: 0 written; 2 bad arguments, a file that cannot be read or a report that cannot be written;
1 a fault of the program.`,
    )
    .action(async (files: string[], flags: ReportFlags) => finish(await run(files, flags)));
}

async function run(files: readonly string[], flags: ReportFlags): Promise<number> {
  const terminal = await openOutput(undefined);
  const visits = await visitsIn(files);
  if (flags.list) {
    await writeVisits(terminal, visits);
    return 0;
  }
  const chosen = chosenVisit(files.join(', '), visits, flags.visit);
  const path = flags.output ?? `${reportName(chosen.things)}.html`;
  const toPipe = path === STANDARD_INPUT;
  const output = await openOutput(toPipe ? undefined : path, files);
  const { piano: chosenPiano } = chosen.things;
  const earlier = visits.map(({ things }) => things).filter(({ piano }) => piano.id === chosenPiano.id);
  const reported = { ...(await judgeVisit(chosen, toldOnTerminal())), earlier };
  await output.write(reportHtml(reported));
  await output.close();
  if (!toPipe) {
    const { piano, day, headline } = reportOf(reported);
    await terminal.write(`${path}: ${piano}, ${day}. ${headline}\n`);
  }
  return 0;
}

/** A backup or a visit stands alone; anything else is heard, each name a round. */
async function visitsIn(files: readonly string[]): Promise<OpenedVisit[]> {
  const [first, ...others] = files;
  if (others.length === 0 && !(await isRecording(first))) return openVisits(first);
  return [await recordedVisit(files, new Date().toISOString(), toldOnTerminal())];
}

const SOUNDS = /\.(wav|flac|ogg|oga|opus|mp3)$/i;

async function isRecording(name: string): Promise<boolean> {
  if (SOUNDS.test(name)) return true;
  return stat(name).then(
    (entry) => entry.isDirectory(),
    () => false,
  );
}
