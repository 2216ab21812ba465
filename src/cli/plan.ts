/**
 * `evenfall plan`: which notes a round asks for, how each is played, and how long that takes, as lines or as a plan document.
 */

import { Command, Option } from 'commander';
import {
  afterAdjustment,
  compass,
  handPicked,
  oneNote,
  openWorklist,
  parseNoteList,
  sampled,
  section,
} from '../piano/notePlans.ts';
import type { NotePlan } from '../piano/plan.ts';
import { planDocument, planLines, type PlannedPiano } from '../piano/planDocument.ts';
import { sectionsOf, USUAL_BREAKS, type Compass } from '../piano/sections.ts';
import type { MidiNote } from '../units.ts';
import { openOutput } from './output.ts';
import { Refusal } from './refusal.ts';

const KINDS = ['sampled', 'section', 'compass', 'one-note', 'hand-picked'] as const;

interface PlanFlags {
  readonly kind?: (typeof KINDS)[number];
  readonly notes?: string;
  readonly section?: string;
  readonly turned?: string;
  readonly inOrder?: string;
  readonly open?: string;
  readonly breaks?: string;
  readonly compass?: string;
  readonly json?: boolean;
  readonly output?: string;
}

/** The command; `finish` is told the exit code when the plan is written. */
export function planCommand(finish: (exitCode: number) => void): Command {
  return new Command('plan')
    .summary('say which notes to play, how, and how long it takes')
    .description(
      'Lists the notes of a round, how each is played, and the minutes that takes. Without options: the sampled notes.',
    )
    .addOption(new Option('--kind <kind>', 'which plan').choices(KINDS))
    .option('--notes <names>', 'notes and stretches of notes, such as "A4, C#5 Bb2-D3"')
    .option('--section <name>', 'for --kind section: its name or number, from 1 in the bass')
    .option('--turned <names>', 'after adjustment: the notes that were turned')
    .option('--in-order <names>', 'with --turned: notes heard before and found in order')
    .option('--open <names>', 'open notes of a worklist, to be heard fresh before the work')
    .option('--breaks <names>', 'first key of each section after the lowest, such as F2,C#5')
    .option('--compass <range>', 'lowest and highest key, such as A0-A7', 'A0-C8')
    .option('--json', 'write the plan document (evenfall.plan/1)')
    .option('--output <file>', 'write there instead of standard output')
    .addHelpText(
      'after',
      `
Examples:
  evenfall plan                                    sampled notes: a quick look at the piano
  evenfall plan --kind section --section tenor --breaks F2,C#5
  evenfall plan --kind compass --compass A0-A7
  evenfall plan --kind one-note --notes F#4        with six on either side that feel right
  evenfall plan --notes "A4, C#5 Bb2-D3"           picked notes
  evenfall plan --open "D#3 B3"                    before the work: fresh strokes
  evenfall plan --turned "D#3 B3" --in-order A0-C2 after it: turned notes, neighbours, ten untouched

Exit code: 0 planned; 2 bad arguments or output that cannot be written; 1 a fault of the program.`,
    )
    .action(async (flags: PlanFlags) => finish(await run(flags)));
}

async function run(flags: PlanFlags): Promise<number> {
  const output = await openOutput(flags.output);
  const piano = pianoOf(flags);
  const document = planDocument(plannedBy(flags, piano), piano);
  await output.write(flags.json ? `${JSON.stringify(document, null, 2)}\n` : `${planLines(document).join('\n')}\n`);
  await output.close();
  return 0;
}

function pianoOf(flags: PlanFlags): PlannedPiano {
  const keys = asked('--compass', () => parseNoteList(flags.compass ?? 'A0-C8'));
  const range: Compass = { lowest: keys[0], highest: keys[keys.length - 1] };
  if (keys.length < 2 || keys.length !== range.highest - range.lowest + 1) {
    throw new Refusal('--compass', `"${flags.compass}"`, 'the lowest and the highest key, such as A0-A7');
  }
  const given = flags.breaks;
  const breaks =
    given === undefined
      ? USUAL_BREAKS.filter((key) => key > range.lowest && key <= range.highest)
      : asked('--breaks', () => parseNoteList(given, range));
  asked('--breaks', () => sectionsOf(breaks, range));
  return { compass: range, breaks, usualBreaks: given === undefined };
}

function plannedBy(flags: PlanFlags, { compass: range, breaks }: PlannedPiano): NotePlan {
  const listed = (flag: string, text: string): MidiNote[] => asked(flag, () => parseNoteList(text, range));
  const asking = (['kind', 'turned', 'open'] as const).filter((name) => flags[name] !== undefined);
  if (asking.length > 1) {
    throw new Refusal(
      asking.map((name) => `--${name}`).join(', '),
      'given together',
      'one of them: each is a plan of its own',
    );
  }
  if (flags.turned !== undefined) {
    const inOrder = flags.inOrder === undefined ? [] : listed('--in-order', flags.inOrder);
    return afterAdjustment(listed('--turned', flags.turned), inOrder, range);
  }
  if (flags.inOrder !== undefined)
    throw new Refusal('--in-order', 'given without --turned', 'the notes that were turned');
  if (flags.open !== undefined) return openWorklist(listed('--open', flags.open), range);
  const kind = flags.kind ?? (flags.notes === undefined ? 'sampled' : 'hand-picked');
  const notes = flags.notes === undefined ? [] : listed('--notes', flags.notes);
  if (flags.section !== undefined && kind !== 'section') {
    throw new Refusal('--section', `given with a plan of kind ${kind}`, '--kind section');
  }
  if (notes.length > 0 && kind !== 'one-note' && kind !== 'hand-picked') {
    throw new Refusal('--notes', `given with a plan of kind ${kind}`, '--kind one-note or hand-picked, or no kind');
  }
  switch (kind) {
    case 'sampled':
      return sampled(breaks, range);
    case 'compass':
      return compass(range.lowest, range.highest);
    case 'section':
      return section(breaks, sectionAsked(flags.section, breaks, range), range);
    case 'one-note':
      if (notes.length !== 1)
        throw new Refusal('--notes', `${notes.length} notes`, 'the one note in question, such as F#4');
      return oneNote(notes[0], range);
    case 'hand-picked':
      if (notes.length === 0) throw new Refusal('--notes', 'not given', 'the notes to play, such as "A4, C#5 Bb2-D3"');
      return handPicked(notes, range);
  }
}

/** The index of a section by its name, in any case, or its number from 1. */
function sectionAsked(text: string | undefined, breaks: readonly MidiNote[], range: Compass): number {
  const names = sectionsOf(breaks, range).map(({ name }) => name);
  const expected = `one of ${names.map((name, i) => `${i + 1} ${name}`).join(', ')}`;
  if (text === undefined) throw new Refusal('--section', 'not given', expected);
  const found = names.findIndex(
    (name, i) => name.toLowerCase() === text.trim().toLowerCase() || String(i + 1) === text.trim(),
  );
  if (found < 0) throw new Refusal('--section', `"${text}"`, expected);
  return found;
}

/** What a plan refuses, said of the argument that it came from. */
function asked<Value>(flag: string, made: () => Value): Value {
  try {
    return made();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const [found, expected = 'notes of this piano'] = error.message.split('; expected ');
    throw new Refusal(flag, found, expected);
  }
}
