/**
 * `evenfall repeatability`: the same notes played several times, nothing adjusted between; how well each measure repeats.
 */

import { realpath } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Command } from 'commander';
import { studyTakes, type RepeatabilityDocument } from '../analysis/repeatability.ts';
import { openOutput } from './output.ts';
import { Refusal } from './refusal.ts';
import { mended, readReferenceFile, readRound, type Round } from './rounds.ts';
import { NOTHING, tableLines, type Column } from './table.ts';

interface RepeatabilityFlags {
  readonly json?: boolean;
  readonly output?: string;
  readonly reference?: string;
}

type Study = RepeatabilityDocument['measures'][number];

/** The command; `finish` is told the exit code when the study is done. */
export function repeatabilityCommand(finish: (exitCode: number) => void): Command {
  return new Command('repeatability')
    .summary('say how small a change can be shown')
    .description(
      'Studies how well the measures repeat: each file is one take of the same notes, nothing adjusted between.',
    )
    .argument('<take...>', 'recordings, folders of recordings, or analyses (JSON), one a take')
    .option('--json', 'write the repeatability document (evenfall.repeatability/1), full precision')
    .option('--reference <file>', 'the hand, learned with evenfall reference')
    .option('--output <file>', 'write there instead of standard output')
    .addHelpText(
      'after',
      `
Play ten notes or more over the compass, eight slow and twelve fast strokes each, two times or better three; move the
microphone away and back before the last.

Examples:
  evenfall repeatability take1.wav take2.wav take3.wav
  evenfall repeatability --json take1 take2 take3

Exit code: 0 studied; 2 bad arguments, too few notes or takes, a take that cannot be read or output that cannot be
written; 1 a fault of the program.`,
    )
    .action(async (takes: string[], flags: RepeatabilityFlags) => finish(await run(takes, flags)));
}

async function run(takes: readonly string[], flags: RepeatabilityFlags): Promise<number> {
  const places = await Promise.all(takes.map((take) => realpath(take).catch(() => resolve(take))));
  const repeat = takes.find((_, i) => places.indexOf(places[i]) < i);
  if (repeat !== undefined) throw new Refusal(repeat, 'named more than once', 'each take once');
  const output = await openOutput(flags.output, takes);
  const reference = flags.reference === undefined ? undefined : await readReferenceFile(flags.reference);
  const rounds: Round[] = [];
  for (const take of takes) rounds.push(await readRound([take], reference));
  const document = mended(() => studyTakes(rounds.map((round) => round.document)), takes.join(', '));
  await output.write(flags.json ? `${JSON.stringify(document, null, 2)}\n` : studyListing(document));
  await output.close();
  return rounds.some(({ incomplete }) => incomplete) ? 2 : 0;
}

const MEASURE_WORDS: Readonly<Record<Study['kind'], string>> = {
  'travel-at-level': 'Travel time at equal loudness',
  'travel-spread': 'Spread of the travel time',
  level: 'Level of slow strokes',
  'failed-repeats': 'Failed repeats',
};

/** A spread is compared by ratio: "/ 1.9" reads "by a factor of 1.9". */
function size(value: number, unit: Study['unit']): string {
  switch (unit) {
    case 'percent':
      return `${value.toFixed(1)} %`;
    case 'dB':
      return `${value.toFixed(1)} dB`;
    case 'share':
      return `${(100 * value).toFixed(0)} in 100`;
    case 'ln':
      return `\u00d7 ${Math.exp(value).toFixed(2)}`;
  }
}

const COLUMNS: readonly Column<Study>[] = [
  { title: 'Measure', side: 'left', cell: ({ kind }) => MEASURE_WORDS[kind] },
  { title: 'Notes', side: 'right', cell: ({ notes }) => String(notes.length) },
  {
    title: 'Repeats within (90 %)',
    side: 'left',
    cell: ({ repeatability: { value, interval }, unit }) =>
      `${size(value, unit)} (${size(interval[0], unit)} to ${size(interval[1], unit)})`,
  },
  { title: 'Takes differ by', side: 'right', cell: ({ betweenTakes, unit }) => size(betweenTakes, unit) },
  { title: 'Notes differ by', side: 'right', cell: ({ betweenNotes, unit }) => size(betweenNotes, unit) },
  {
    title: 'Repeat / notes',
    side: 'left',
    cell: ({ ratio: { value, interval } }) =>
      value === null
        ? NOTHING
        : `${value.toFixed(2)} (${interval[0].toFixed(2)} to ${interval[1]?.toFixed(2) ?? 'no end'})`,
  },
  { title: 'Smallest change shown', side: 'right', cell: ({ smallestChange, unit }) => size(smallestChange, unit) },
];

const ODD_TAKE = 0.05;

/** The study as text for a person. */
export function studyListing({ takes, leftOut, measures }: RepeatabilityDocument): string {
  const lines = takes.map(({ sources }, i) => `Take ${i + 1}: ${sources.map(({ file }) => file).join(', ')}`);
  lines.push('', ...tableLines(COLUMNS, measures), '');
  for (const { kind, takesAlike } of measures) {
    if (takesAlike === null || takesAlike.probability > ODD_TAKE) continue;
    lines.push(`${MEASURE_WORDS[kind]}: the takes do not scatter alike; one was played or recorded less steadily.`);
  }
  if (leftOut.length > 0) lines.push(`Not in every take: ${leftOut.map(({ name }) => name).join(', ')}.`);
  lines.push(
    'Each figure: how far equal takes lie apart, about two in three within it. Smallest change shown: what one note must change by between two such takes before chance is an unlikely cause (1 in 20).',
  );
  return `${lines.join('\n')}\n`;
}
