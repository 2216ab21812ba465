/**
 * The command line: arguments in, exit code out. One file a command; this one holds what they share.
 *
 * Exit codes: 0 done (also when a pipe was closed early); 2 bad arguments, unreadable input or unwritable output;
 * 1 a fault of the program, whose stack shows with EVENFALL_DEBUG=1.
 */

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Command, CommanderError } from 'commander';
import { analyseCommand } from './analyse.ts';
import { compareCommand } from './compare.ts';
import { planCommand } from './plan.ts';
import { exportCommand } from './export.ts';
import { practiceCommand } from './practice.ts';
import { referenceCommand } from './reference.ts';
import { ClosedPipe, Refusal } from './refusal.ts';
import { reportCommand } from './report.ts';
import { repeatabilityCommand } from './repeatability.ts';
import { serveCommand } from './serve.ts';

/**
 * Runs the command line.
 * @param argv - the arguments after the program's name
 * @returns the exit code; never throws
 */
export async function main(argv: string[]): Promise<number> {
  let exitCode = 0;
  try {
    await program((code) => (exitCode = code)).parseAsync(argv, { from: 'user' });
    return exitCode;
  } catch (error) {
    return codeOf(error);
  }
}

function program(finish: (exitCode: number) => void): Command {
  const root = new Command('evenfall')
    .description(
      'Judges from sound whether each hammer of a grand piano rests evenly before every stroke, and whether it repeats.',
    )
    .version(version())
    .addHelpText(
      'after',
      `
Examples:
  evenfall analyse a4.wav
  evenfall practice --notes A4,D#3 --out takes
  evenfall analyse takes/*.wav
  evenfall reference in-order.wav --out hand.json
  evenfall compare before.wav after.wav
  evenfall plan --kind section --section tenor
  evenfall report backup.zip
  evenfall serve
  evenfall help analyse`,
    );
  for (const command of [
    analyseCommand(finish),
    compareCommand(finish),
    referenceCommand(finish),
    repeatabilityCommand(finish),
    planCommand(finish),
    reportCommand(finish),
    exportCommand(finish),
    practiceCommand(finish),
    serveCommand(finish),
  ]) {
    root.addCommand(command);
  }
  for (const command of [root, ...root.commands]) command.exitOverride().showHelpAfterError('(--help shows how)');
  return root;
}

function codeOf(error: unknown): number {
  if (error instanceof ClosedPipe) return 0;
  // Commander has said what it has to say; help and version come this way too, with code 0.
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  if (error instanceof Refusal) {
    process.stderr.write(`evenfall: ${error.message}\n`);
    return 2;
  }
  const debug = process.env.EVENFALL_DEBUG === '1';
  const message = error instanceof Error ? error.message : String(error);
  process.stderr.write(`evenfall: a fault of the program: ${message}\n`);
  if (debug && error instanceof Error) process.stderr.write(`${error.stack}\n`);
  else process.stderr.write('With EVENFALL_DEBUG=1 it shows where.\n');
  return 1;
}

/** Of the package that this file was installed with; it stands two folders up in the source and when built. */
function version(): string {
  const file = join(import.meta.dirname, '..', '..', 'package.json');
  return (JSON.parse(readFileSync(file, 'utf8')) as { version: string }).version;
}
