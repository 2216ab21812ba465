/** Warnings on Listen: what is the matter, and what to do. They leave by themselves when cured. */

import type { AdviceCode } from '../../analysis/document.ts';
import type { EarState } from '../../capture/earState.ts';
import type { MicrophoneError } from '../../capture/microphone.ts';
import type { Notice } from '../listen/view.ts';
import type { Sitting } from './sitting.ts';

const REST_EVERY_MINUTES = 20;
/** Room noise nearer than this under the usual stroke hides contacts. */
const LEAST_DISTANCE_DB = 30;
/** Quieter than this is no room: something takes the quiet away. */
const NO_ROOM_DB = -98;
/** Strokes of the running take after which faint contacts are told. */
const ENOUGH_STROKES = 5;
const FEW_CLEAR_SHARE = 0.5;

/** Advice about the playing waits until so many notes have been heard. */
const ENOUGH_NOTES = 3;
const PLAYING_ADVICE: Readonly<Partial<Record<AdviceCode, string>>> = {
  'let-up-more': 'Many repeats miss',
  'let-up-less': 'Repeats are hardly tried',
};

const LISTEN_AGAIN = [{ id: 'again', label: 'Listen again' }];

/** What keeps the microphone from being heard; null while it is. */
export function earNotice(state: EarState, error: MicrophoneError | null, lastNote: string | null): Notice | null {
  if (error) {
    return {
      code: error.code === 'refused' ? 'refused' : 'interrupted',
      title: error.title,
      text: `${error.text} ${error.remedy}`,
      stops: true,
      actions: [{ id: 'again', label: 'Try again' }],
    };
  }
  const kept = lastNote ? `Everything up to ${lastNote} is kept.` : 'Nothing was lost.';
  const stopped = (title: string, text: string): Notice => ({
    code: 'interrupted',
    title,
    text: `${text} ${kept}`,
    stops: true,
    actions: LISTEN_AGAIN,
  });
  switch (state) {
    case 'suspended':
      return stopped('Listening stopped by the device', 'A call or the screen took the microphone.');
    case 'unplugged':
      return stopped('The microphone is gone', 'It was unplugged, or its permission was taken back.');
    case 'broken':
      return stopped('Listening broke', 'The detector stopped twice on this device.');
    case 'muted':
      return stopped('The microphone is muted', 'The device or a switch holds it back.');
    case 'starting':
    case 'listening':
    case 'closed':
      return null;
  }
}

/** Everything else that is to be told during a sitting. */
export function sittingNotices(sitting: Sitting, now: Date): Notice[] {
  const { keeper, levels, running, gaps } = sitting;
  const notices: Notice[] = [];
  const warn = (code: string, title: string, text: string, actions: Notice['actions'] = [], stops = false) =>
    notices.push({ code, title, text, stops, actions });
  if (keeper.held.length > 0) {
    const full = keeper.failure?.code === 'full';
    warn(
      'storage',
      full ? 'No room left on this device' : 'This device does not keep the sound',
      'This take is held in memory only. Save it as a file now, or make room and try again.',
      [
        { id: 'save', label: 'Save take' },
        { id: 'retry', label: 'Try again' },
      ],
      true,
    );
  }
  if (levels.clippedAt !== null) {
    warn(
      'clipping',
      'Too loud: the last strokes clipped',
      'Move the phone away a hand’s width, not beyond 40 cm from the hands. The clipped strokes are not counted; the others are kept.',
    );
  }
  const { roomDb, lastStrokeDb } = levels;
  const under = roomDb === null || lastStrokeDb === null ? null : Math.round(lastStrokeDb - roomDb);
  if (under !== null && under < LEAST_DISTANCE_DB) {
    warn(
      'noise',
      'Room too noisy for soft strokes',
      `Room noise is ${under} dB below your last stroke; ${LEAST_DISTANCE_DB} is enough. Switch off what hums, or strike a little firmer.`,
    );
  }
  if (roomDb !== null && roomDb < NO_ROOM_DB) {
    warn(
      'processed',
      'This microphone changes the sound',
      'Between strokes there is no sound at all: noise suppression seems to be on. Contacts may be lost; repeats and loudness still count.',
    );
  }
  if (gaps > 0) {
    warn(
      'gaps',
      gaps === 1 ? 'The device lost a moment of sound' : `The device lost sound ${gaps} times`,
      'Travel times there do not count; the rest is kept. Close other apps if it goes on.',
    );
  }
  const strokes = running?.strokes ?? [];
  const clear = strokes.filter((stroke) => stroke.clear).length;
  if (strokes.length >= ENOUGH_STROKES && clear < FEW_CLEAR_SHARE * strokes.length && running?.asked !== 'gentle') {
    warn(
      'faint',
      `Contacts faint: ${clear} of ${strokes.length}`,
      'Let a curved fingertip fall from a finger’s width, or move the phone nearer, within 20 to 40 cm of the hands.',
    );
  }
  // Of the round as a whole only what the hand can change at once; the rest stands in the list of the round.
  for (const { code, message } of sitting.book.judged?.advice ?? []) {
    const title = PLAYING_ADVICE[code];
    if (title && sitting.book.heard.length >= ENOUGH_NOTES) warn(code, title, message);
  }
  if (!sitting.paused && now.getTime() - sitting.restedAt > REST_EVERY_MINUTES * 60_000) {
    warn('rest', 'Rest your hand', 'Go on when you like.', [{ id: 'rested', label: 'Go on' }]);
  }
  return notices;
}
