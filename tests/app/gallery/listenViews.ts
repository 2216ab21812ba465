/** What the screen "Listen" may have to show, by name: an invented piano, invented strokes. */

import { parseKeyName } from '../../../src/piano/keys.ts';
import type { Lane, ListenView, Slot } from '../../../src/app/listen/view.ts';

const k = parseKeyName;

/** Slots from a line of signs: `c` clear, `r` ring, `d` double, `x` silent, `w` weak, `n` now, `.` wanted, `b` bar, `f` too fast. */
function slots(signs: string): Slot[] {
  return [...signs].map((sign, i): Slot => {
    const height = 0.45 + 0.5 * Math.abs(Math.sin(2.3 * i + 1));
    switch (sign) {
      case 'c':
      case 'r':
      case 'd':
        return { state: 'sounded', height, clear: sign !== 'r', double: sign === 'd' };
      case 'x':
        return { state: 'silent' };
      case 'w':
        return { state: 'weak', height: 0.1 };
      case 'n':
        return { state: 'now' };
      case 'b':
        return { state: 'bar', height: 0.75 + 0.1 * Math.sin(i), counted: true };
      case 'f':
        return { state: 'bar', height: 1, counted: false };
      default:
        return { state: 'wanted' };
    }
  });
}

function lane(title: string, kind: Lane['kind'], done: number, wanted: number, signs: string, extra = 0): Lane {
  return { title, kind, done, wanted, slots: slots(signs), extra };
}

const HALF_WAY = 'not quite half-way up, keep it ringing';
const SLOW_DONE = lane('Slow', 'slow', 8, 8, 'ccrccrcc');
const SLOW_NONE = lane('Slow', 'slow', 0, 8, 'n.......');
const FAST_NONE = lane('Fast, half-way up', 'fast', 0, 12, '............');

const SAMPLED = ['A0', 'B0', 'E1', 'B1', 'E2', 'B2', 'C3', 'E3', 'B3', 'E4', 'A#4', 'B4', 'E5', 'B5', 'E6', 'B6', 'E7'];

const FAST: ListenView = {
  round: 1,
  plan: 'sampled notes',
  piano: 'Aldervane 274, Quillwater Hall',
  room: { word: 'Room quiet', noise: 0.12, lastStroke: 0.62, clipped: false },
  note: { midis: [k('A#4')], heard: true, section: 'Treble' },
  asked: 'slow-fast',
  order: { word: 'Fast', count: '4 more', manner: HALF_WAY },
  lanes: [SLOW_DONE, lane('Fast, half-way up', 'fast', 8, 12, 'cccxcrwcn...')],
  contact: { kind: 'counts', clear: 13, of: 16, silent: 1, weak: 1, double: 0 },
  ask: null,
  next: [k('B4')],
  progress: { done: 10, of: 22, minutesLeft: 3 },
  strip: SAMPLED.map((name, i) => ({
    midi: k(name),
    verdict: i > 9 ? null : i === 5 || i === 8 ? 'watch' : i === 6 ? 'unstable' : i === 3 ? 'insufficient' : 'steady',
  })),
  breaks: [k('F2'), k('A#4'), k('F6')],
  notices: [],
  state: 'listening',
  maySleep: false,
  announcement: 'Now fast, key not quite half-way up.',
};

const FAINT = {
  code: 'contacts-faint',
  title: 'Contacts faint: 2 of 5',
  text: 'Let a curved fingertip fall from a finger’s width, or move the phone nearer.',
  stops: false,
  actions: [],
};

/** Every state of the screen, by name. */
export const LISTEN_VIEWS = {
  fast: FAST,
  slow: {
    ...FAST,
    note: { midis: [k('E4')], heard: true, section: 'Tenor' },
    order: { word: 'Slow', count: '3 more', manner: 'let the key right up, wait' },
    lanes: [lane('Slow', 'slow', 5, 8, 'rcrrcn..'), FAST_NONE],
    contact: { kind: 'counts', clear: 2, of: 5, silent: 0, weak: 0, double: 0 },
    next: [k('A4')],
    room: { word: 'Some noise', noise: 0.33, lastStroke: 0.58, clipped: false },
  },
  warned: {
    ...FAST,
    room: { word: 'Some noise', noise: 0.33, lastStroke: 0.58, clipped: false },
    notices: [FAINT],
    announcement: 'Contacts faint.',
  },
  next: {
    ...FAST,
    note: { midis: [k('B4')], heard: false, section: 'Treble' },
    order: { word: 'Slow', count: '8 times', manner: 'let the key right up, wait' },
    lanes: [SLOW_NONE, FAST_NONE],
    contact: { kind: 'finished', midi: k('A#4'), verdict: 'steady', kept: true, clear: 17, of: 20, words: '' },
    next: [k('E5')],
    progress: { done: 11, of: 22, minutesLeft: 3 },
    announcement: 'A sharp 4 steady. Kept. Next B4.',
  },
  sharp: {
    ...FAST,
    note: { midis: [k('G#1')], heard: false, section: 'Bass' },
    order: { word: 'Slow', count: '8 times', manner: 'let the key right up, wait' },
    lanes: [SLOW_NONE, FAST_NONE],
    contact: { kind: 'finished', midi: k('D#3'), verdict: 'unstable', kept: true, clear: 14, of: 20, words: '' },
    next: [k('D#3')],
    maySleep: true,
    announcement: 'D sharp 3 unstable. Quick repeats fail when the key is only half let up.',
  },
  open: {
    ...FAST,
    plan: 'open notes',
    note: { midis: [k('A6')], heard: true, section: 'High treble' },
    asked: 'open',
    order: { word: 'Firm', count: '3 of 6', manner: 'one firm, then two slow' },
    lanes: [
      lane('Firm, slow, slow', 'firm-slow-slow', 2, 6, 'ccccrcn...........'),
      FAST_NONE,
      FAST_NONE,
      lane('Fast, just over half', 'fast', 0, 12, '............'),
    ],
    contact: { kind: 'counts', clear: 5, of: 6, silent: 0, weak: 0, double: 0 },
    next: [k('D#3')],
  },
  gentle: {
    ...FAST,
    plan: 'doubtful notes',
    note: { midis: [k('G#1')], heard: true, section: 'Bass' },
    asked: 'gentle',
    order: { word: 'Gentle', count: '3 more', manner: 'as soft as will still speak' },
    lanes: [lane('Gentle', 'gentle', 5, 8, 'cdcdcn..'), lane('Fast, right up', 'fast', 0, 12, '............')],
    contact: { kind: 'spoke', spoke: 5, doubled: 2, silent: 0 },
    next: [k('B2')],
  },
  return: {
    ...FAST,
    note: { midis: [k('D#3')], heard: true, section: 'Tenor' },
    asked: 'full-return',
    order: { word: 'Fast', count: '5 more', manner: 'let the key right up' },
    lanes: [
      lane('Fast, half-way up', 'fast', 12, 12, 'ccxcwcccxccw', 2),
      lane('Fast, right up', 'fast', 7, 12, 'cccccccn....'),
    ],
    contact: { kind: 'compared', label: 'half-way', silent: 2, weak: 2 },
    next: [k('B3')],
  },
  bar: {
    ...FAST,
    plan: 'bar, doubtful notes',
    note: { midis: [k('A3'), k('B3'), k('C4')], heard: true, section: null },
    asked: 'bar',
    order: { word: 'Press', count: '3 more', manner: 'slowly and steadily' },
    lanes: [lane('Bar, this way round', 'bar', 5, 8, 'bfbbbbn..'), lane('Turned end for end', 'bar', 0, 8, '........')],
    contact: { kind: 'bar', steady: true, tooFast: 1 },
    next: [k('C6'), k('D6'), k('E6')],
    progress: { done: 1, of: 2, minutesLeft: 4 },
  },
  'bar-sharps': {
    ...FAST,
    note: { midis: [k('F#3'), k('G#3'), k('A#3')], heard: false, section: null },
    asked: 'bar',
    order: { word: 'Wait', count: '', manner: 'turn the bar end for end' },
    lanes: [lane('Bar, this way round', 'bar', 8, 8, 'bbbbbbbb'), lane('Turned end for end', 'bar', 0, 8, 'n.......')],
    contact: { kind: 'bar', steady: false, tooFast: 2 },
    next: null,
    announcement: 'Turn the bar round.',
  },
  stray: { ...FAST, contact: { kind: 'stray', midi: k('C4') } },
  any: {
    ...FAST,
    plan: null,
    note: null,
    order: { word: 'Slow', count: '8 times', manner: 'let the key right up, wait' },
    lanes: [SLOW_NONE, FAST_NONE],
    contact: { kind: 'counts', clear: 0, of: 0, silent: 0, weak: 0, double: 0 },
    next: null,
    progress: null,
    strip: [],
  },
  loud: {
    ...FAST,
    room: { word: 'Room quiet', noise: 0.12, lastStroke: 1, clipped: true },
    notices: [
      {
        code: 'clipping',
        title: 'Too loud: the last strokes clipped',
        text: 'Move the phone away a hand’s width, not beyond 40 cm from the hands. The clipped strokes are not counted; the others are kept.',
        stops: false,
        actions: [],
      },
      FAINT,
    ],
  },
  ask: {
    ...FAST,
    round: 2,
    plan: 'the worklist',
    ask: { midi: k('B3'), round: 1 },
    announcement: 'B3. Adjusted since round 1? Yes or no.',
  },
  'ask-sharp': { ...FAST, ask: { midi: k('A#4'), round: 1 } },
  paused: { ...FAST, state: 'paused', announcement: 'Paused.' },
  stopped: {
    ...FAST,
    state: 'stopped',
    notices: [
      {
        code: 'interrupted',
        title: 'Listening stopped by the phone',
        text: 'A call or the screen took the microphone. Everything up to B3 is kept.',
        stops: true,
        actions: [{ id: 'again', label: 'Listen again' }],
      },
      {
        code: 'storage-full',
        title: 'No room left on this device',
        text: 'This take is held in memory only. Save it as a file now, or remove an old visit.',
        stops: true,
        actions: [
          { id: 'save', label: 'Save take' },
          { id: 'remove', label: 'Remove old' },
        ],
      },
    ],
  },
  done: { ...FAST, state: 'done', note: { midis: [k('E7')], heard: true, section: 'High treble' }, next: null },
} satisfies Readonly<Record<string, ListenView>>;

export type ListenName = keyof typeof LISTEN_VIEWS;
