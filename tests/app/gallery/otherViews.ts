/** What the other screens may have to show, by name: an invented piano, invented results. */

import type { NoteResult, Verdict } from '../../../src/analysis/document.ts';
import type { SoundCheckView } from '../../../src/app/check/view.ts';
import type { HomeView, StartChoices, StartOffers } from '../../../src/app/home/view.ts';
import type { RoundView } from '../../../src/app/round/view.ts';
import { affectedShare, afterSampled, shareWords } from '../../../src/piano/afterSampled.ts';
import { NO_FACTS, readVisit, visitDraft } from '../../../src/app/visit/visitForm.ts';
import { keyName, parseKeyName } from '../../../src/piano/keys.ts';
import { sampled } from '../../../src/piano/notePlans.ts';
import { USUAL_BREAKS } from '../../../src/piano/sections.ts';
import { sectionLine, troubledSections } from '../../../src/piano/troubledSections.ts';

const k = parseKeyName;

const VISITS: HomeView['visits'] = [
  {
    id: 'a',
    piano: 'Aldervane 274',
    place: 'Quillwater Hall',
    day: 'today',
    notes: { steady: 78, watch: 6, unstable: 4, insufficient: 0 },
    open: true,
  },
  {
    id: 'b',
    piano: 'Teaching room 2, small grand',
    place: null,
    day: '3 November',
    notes: { steady: 85, watch: 0, unstable: 0, insufficient: 3 },
    open: false,
  },
  {
    id: 'c',
    piano: 'Aldervane 274',
    place: 'Quillwater Hall',
    day: '18 May',
    notes: { steady: 86, watch: 2, unstable: 0, insufficient: 0 },
    open: false,
  },
];

/** Home, by name. */
export const HOME_VIEWS: Readonly<Record<string, HomeView>> = {
  visits: { line: null, visits: VISITS, roomForVisits: 20, notices: [] },
  empty: { line: null, visits: [], roomForVisits: null, notices: [] },
  noticed: {
    visits: VISITS,
    line: null,
    roomForVisits: 1,
    notices: [
      {
        code: 'second-tab',
        title: 'This visit is open in another tab',
        text: 'It can be read here. To listen here, close it there.',
        stops: false,
        actions: [{ id: 'take-over', label: 'Take over' }],
      },
    ],
  },
};

/** What the start screen offers. */
export const OFFERS: StartOffers = {
  pianos: [
    { id: 'p1', name: 'Aldervane 274', place: 'Quillwater Hall' },
    { id: 'p2', name: 'Teaching room 2, small grand', place: null },
  ],
  references: [{ id: 'r1', name: 'Own hand, cloth left of the keys', learned: '3 November' }],
  sections: [
    { id: 's1', name: 'Bass, A0 to E2' },
    { id: 's2', name: 'Tenor, F2 to A4' },
  ],
  plans: [
    { kind: 'sampled', notes: 22, minutes: 8 },
    { kind: 'one-note', notes: 7, minutes: 3 },
    { kind: 'hand-picked', notes: 2, minutes: 1 },
    { kind: 'section', notes: null, minutes: null },
    { kind: 'compass', notes: 88, minutes: 35 },
    { kind: 'free', notes: null, minutes: null },
  ],
  keeping: {
    all: 'about 50 MB for this plan',
    flagged: 'about 6 MB if three notes are flagged',
    none: 'nothing stays',
  },
  roomLeft: '11 GB',
  visit: { draft: visitDraft(NO_FACTS), read: readVisit(visitDraft(NO_FACTS), NO_FACTS), goesOn: false },
  notices: [],
};

const CHOICES: StartChoices = {
  pianoId: 'p1',
  pianoName: 'Aldervane 274',
  place: 'Quillwater Hall',
  player: '',
  microphonePlace: '',
  visit: null,
  keepAudio: 'flagged',
  referenceId: null,
  plan: 'sampled',
  oneNote: null,
  picked: [],
  sectionId: null,
};

/** The start screen's choices, by name. */
export const START_CHOICES: Readonly<Record<string, StartChoices>> = {
  sampled: CHOICES,
  new: { ...CHOICES, pianoId: null, pianoName: '', place: '' },
  picked: { ...CHOICES, plan: 'hand-picked', picked: [k('A4'), k('C#5')] },
  section: { ...CHOICES, plan: 'section' },
};

const CHECKED: SoundCheckView = {
  microphones: [
    { id: 'm1', label: 'Phone’s own microphone' },
    { id: 'm2', label: 'Microphone on the cable' },
  ],
  chosen: 'm1',
  microphone: { label: 'Phone’s own microphone', sampleRate: 48000 },
  treated: [],
  room: { quiet: true, belowDb: 34, humHz: null },
  level: { noise: 0.14, lastStroke: 0.52, clipped: false },
  finger: { clear: 5, heard: 5, wanted: 5, enough: true },
  notices: [],
};

/** The sound check, by name. */
export const CHECK_VIEWS: Readonly<Record<string, SoundCheckView>> = {
  good: CHECKED,
  faint: { ...CHECKED, finger: { clear: 2, heard: 5, wanted: 5, enough: false } },
  waiting: {
    ...CHECKED,
    chosen: null,
    microphone: null,
    treated: null,
    room: null,
    level: { noise: null, lastStroke: null, clipped: false },
    finger: { clear: 0, heard: 0, wanted: 5, enough: null },
  },
  troubled: {
    ...CHECKED,
    microphone: { label: 'Microphone on the cable', sampleRate: 44100 },
    treated: ['noise-suppression', 'automatic-gain'],
    room: { quiet: false, belowDb: 18, humHz: 120 },
    finger: { clear: 1, heard: 2, wanted: 5, enough: null },
  },
  refused: {
    ...CHECKED,
    microphone: null,
    notices: [
      {
        code: 'microphone-refused',
        title: 'The microphone is switched off for Evenfall',
        text: 'Nothing can be heard until you allow it in the browser’s site settings. You can still open a recording.',
        stops: true,
        actions: [
          { id: 'again', label: 'Try again' },
          { id: 'open', label: 'Open a file' },
        ],
      },
    ],
  },
};

function result(name: string, verdict: Verdict, words: Partial<NoteResult['words']>): NoteResult {
  const midi = k(name);
  return {
    midi,
    name: keyName(midi),
    verdict,
    score: verdict === 'unstable' ? 0.9 : 0.2,
    measures: [{ kind: 'onset-error', value: 0.03, unit: 'ms', interval: [0.02, 0.05], n: 14 }],
    couldHaveShown: { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null },
    findings: [],
    looks: 1,
    pattern: null,
    strokesNeeded: null,
    unused: {},
    words: { line: '', evidence: [], next: [], cautions: [], parts: [], ...words },
  };
}

const ROUND: RoundView = {
  round: 1,
  piano: 'Aldervane 274, Quillwater Hall',
  closed: false,
  notes: [
    {
      result: result('D#3', 'unstable', {
        line: 'Quick repeats fail when the key is only half let up.',
        evidence: ['4 of 24 half-way repeats did not speak, 3 were weak; all 12 spoke with full return.'],
        next: ['Repetition spring: too weak, it lifts the hammer late.'],
        cautions: ['A spring that is too strong makes the hammer dance.'],
      }),
      strokes: 44,
      jammed: false,
    },
    {
      result: result('G#1', 'watch', {
        line: 'At the softest touch it may strike twice.',
        evidence: ['2 of 8 gentle strokes doubled.'],
        next: ['Let-off and drop.'],
      }),
      strokes: 28,
      jammed: true,
    },
    {
      result: result('B4', 'insufficient', { line: 'Not enough was heard to say.', next: ['Five slow strokes more.'] }),
      strokes: 6,
      jammed: false,
    },
    { result: result('E4', 'steady', { line: 'It repeats and starts evenly.' }), strokes: 20, jammed: false },
  ],
  lastTake: k('E4'),
  advice: ['Many notes missed repeats: let the key up a little further. Repeats call no note unstable in this round.'],
  sections: [],
  next: null,
  otherVisits: 2,
  handLearnable: true,
  readOnly: false,
  keep: null,
  notices: [],
  announcement: 'Four notes heard.',
};

const SAMPLES = sampled().steps.map(({ midi }) => ({ midi, judged: true, flagged: midi > 50 && midi < 66 }));
const PROPOSED = afterSampled(SAMPLES, USUAL_BREAKS)!;

/** The list of a round, by name. */
export const ROUND_VIEWS: Readonly<Record<string, RoundView>> = {
  open: ROUND,
  closed: { ...ROUND, closed: true, advice: [] },
  recorded: {
    ...ROUND,
    closed: true,
    readOnly: true,
    lastTake: null,
    keep: { pianos: OFFERS.pianos, keeping: false },
  },
  empty: { ...ROUND, notes: [], lastTake: null, advice: [] },
  sampled: {
    ...ROUND,
    closed: true,
    advice: [],
    sections: troubledSections(
      SAMPLES.map(({ midi }) => ({ midi, flagged: midi >= 47 && midi < 71 })),
      USUAL_BREAKS,
    ).map(sectionLine),
    next: {
      share: shareWords(affectedShare(SAMPLES)!),
      reason: PROPOSED.reason,
      notes: PROPOSED.plan.steps.length,
      minutes: Math.round(PROPOSED.minutes),
    },
  },
};
