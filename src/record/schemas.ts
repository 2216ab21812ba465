/** The schema of every kept kind, held to its type by the compiler. */

import type * as v from 'valibot';
import {
  analysisVersion,
  exactly,
  from,
  key,
  list,
  named,
  oneOf,
  orNull,
  real,
  sound16,
  thing,
  time,
  whole,
  words,
  yesNo,
} from './fields.ts';
import { ASKED_LIST, heardSchema, noteWords, referenceSchema, TOUCH_LIST, VERDICT_LIST } from './heardSchema.ts';
import {
  GAUGE_KINDS,
  KEEP_AUDIO,
  PLAN_KINDS,
  RECORD_VERSION,
  type Shelf,
  type Shelves,
  type SoundPiece,
} from './types.ts';

const kept = { recordVersion: exactly(RECORD_VERSION), id: named() };
const asked = () => oneOf(ASKED_LIST);
const note = () => key();
/** Of a sound card; beyond lies no sound of a piano, or a mistake in the unit. */
const rate = () => from(8000, 768_000);
/** Of a key or a part: no measure of an action is near 500 mm. */
const millimetres = () => from(-500, 500);

const failed = () => thing({ silent: whole(0), weak: whole(0), double: whole(0), of: whole(0) });

const target = () => orNull(millimetres());

/** Schemas by shelf. Fields that they do not know are let be. */
export const SCHEMAS = {
  pianos: thing({
    ...kept,
    name: named(),
    place: orNull(words()),
    kind: oneOf(['grand', 'upright']),
    lengthCm: orNull(from(30, 1000)),
    lowest: note(),
    highest: note(),
    breaks: list(note()),
    highestDamper: orNull(note()),
    targets: thing({
      dip: target(),
      blow: target(),
      'let-off': target(),
      drop: target(),
      aftertouch: target(),
      check: target(),
    }),
    order: oneOf(['blow-first', 'dip-first']),
  }),
  visits: thing({
    ...kept,
    pianoId: named(),
    startedAt: time(),
    endedAt: orNull(time()),
    temperatureC: orNull(from(-60, 80)),
    humidityPercent: orNull(from(0, 100)),
    lid: orNull(oneOf(['closed', 'half', 'open', 'off'])),
    microphone: orNull(words()),
    microphonePlace: orNull(words()),
    player: orNull(words()),
    notes: words(),
    keepAudio: oneOf(KEEP_AUDIO),
    referenceId: orNull(named()),
    readiness: list(thing({ item: named(), state: oneOf(['in-order', 'put-right', 'open']) })),
    newParts: words(),
  }),
  rounds: thing({
    ...kept,
    visitId: named(),
    number: whole(1),
    startedAt: time(),
    closedAt: orNull(time()),
    setting: orNull(
      thing({
        microphone: orNull(words()),
        microphonePlace: orNull(words()),
        player: orNull(words()),
        referenceId: orNull(named()),
      }),
    ),
    plan: thing({
      kind: oneOf(PLAN_KINDS),
      steps: list(thing({ midi: note(), asked: asked() })),
    }),
    summary: orNull(
      thing({
        analysisVersion: analysisVersion(),
        verdicts: list(thing({ midi: note(), verdict: oneOf(VERDICT_LIST) })),
        flagged: list(
          thing({ midi: note(), score: from(0, 1), findings: list(named()), ...noteWords, parts: list(words()) }),
        ),
        line: list(
          thing({
            midi: note(),
            repeats: orNull(failed()),
            gentle: orNull(failed()),
            offsets: list(real()),
            failsAgain: yesNo(),
            wanders: yesNo(),
          }),
        ),
      }),
    ),
  }),
  takes: thing({
    ...kept,
    visitId: named(),
    roundId: named(),
    number: whole(1),
    midi: note(),
    asked: asked(),
    touch: oneOf(TOUCH_LIST),
    startedAt: time(),
    sampleRate: rate(),
    frames: whole(0),
    pieces: whole(0),
    gaps: list(thing({ frame: whole(0), frames: whole(0), kind: oneOf(['clock', 'zeros', 'repeated']) })),
    heard: heardSchema,
    undone: yesNo(),
    jammed: yesNo(),
  }),
  templates: thing({
    ...kept,
    pianoId: named(),
    midi: note(),
    takeId: named(),
    sampleRate: rate(),
    strokes: list(from(0, Number.MAX_SAFE_INTEGER)),
    samples: sound16(),
  }),
  references: thing({ ...kept, name: named(), learnedAt: time(), reference: referenceSchema }),
  adjustments: thing({
    ...kept,
    visitId: named(),
    midi: note(),
    at: time(),
    afterRound: whole(0),
    what: oneOf(['lever', 'jack', 'spring', 'centre', 'line', 'let-off', 'drop', 'check', 'dip', 'other']),
    way: orNull(words()),
    eighths: orNull(from(-1000, 1000)),
    millimetres: orNull(millimetres()),
    words: words(),
    undone: yesNo(),
  }),
  gauges: thing({
    ...kept,
    visitId: named(),
    midi: note(),
    at: time(),
    when: oneOf(['before', 'after']),
    kind: oneOf(GAUGE_KINDS),
    millimetres: millimetres(),
    undone: yesNo(),
  }),
  marks: thing({
    ...kept,
    visitId: named(),
    midi: note(),
    at: time(),
    kind: oneOf(['done', 'left-as-is', 'reopened', 'not-adjusted']),
  }),
  hours: thing({
    ...kept,
    visitId: named(),
    operation: named(),
    startedAt: time(),
    endedAt: orNull(time()),
  }),
} satisfies Readonly<Record<Shelf, v.GenericSchema>>;

/** A stretch of sound, which stands on no shelf. */
export const PIECE_SCHEMA = thing({ takeId: named(), index: whole(0), samples: sound16() });

/** Does not compile unless schemas and types say the same; documents are held in `heardSchema.ts`. */
export type SchemasHold = AllTrue<{
  [S in Shelf]: Same<Plain<v.InferOutput<(typeof SCHEMAS)[S]>>, Plain<Shelves[S]>>;
}>;
export type PieceHolds = AllTrue<Record<'piece', Same<v.InferOutput<typeof PIECE_SCHEMA>, SoundPiece>>>;
type Plain<T> = Omit<T, 'heard' | 'reference'>;
type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
type AllTrue<T extends Record<string, true>> = T;
