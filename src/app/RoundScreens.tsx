/** The screens that show a round from afar and from near: compass and note. They come when they are asked for. */

import { useEffect, useMemo, useRef, useState } from 'react';
import { CompassScreen } from './compass/CompassScreen.tsx';
import { compassView } from './compass/compassView.ts';
import type { Desk } from './desk/desk.ts';
import { NoteScreen } from './note/NoteScreen.tsx';
import { SoundPlayer } from './note/playSound.ts';
import { noteView, type SoundPlace } from './note/view.ts';
import { breaksOf } from './sitting/breaks.ts';
import { useCompared } from './useCompared.ts';

/** So much is heard from a stroke on: a take to its end, mostly. */
const HEARD_SECONDS = 15;

export function CompassOf({ desk }: { desk: Desk }) {
  const { sitting } = desk;
  const document = sitting?.book.judged ?? null;
  const compared = useCompared(desk);
  const view = useMemo(() => {
    if (!sitting || !document) return null;
    const { piano, book } = sitting;
    return compassView({
      document,
      title: `${piano.name}, round ${book.round.number}`,
      breaks: breaksOf(piano),
      rounds: desk.rounds.map(({ id, number }) => ({ id, words: `Round ${number}` })),
      chosenRound: book.round.id,
      earlier: compared && {
        ...compared,
        title: `${compared.title}, then round ${book.round.number}`,
      },
    });
  }, [sitting, document, desk.rounds, compared]);
  if (!view) return <main>Nothing heard yet.</main>;
  return (
    <CompassScreen
      view={view}
      look={desk.look}
      onLook={desk.looked}
      actions={{ open: (midi) => desk.openNote(midi), chooseRound: (id) => void desk.chooseRound(id) }}
    />
  );
}

export function NoteOf({ desk }: { desk: Desk }) {
  const { sitting, note } = desk;
  const [playing, setPlaying] = useState<SoundPlace | null>(null);
  const player = useRef<SoundPlayer>(null);
  useEffect(() => {
    if (!sitting) return;
    const own = new SoundPlayer({
      sound: (takeId) => sitting.sound(takeId),
      sampleRate: (takeId) => sitting.book.takes.find(({ id }) => id === takeId)?.sampleRate ?? 48000,
      listening: () => desk.screen === 'listen' || desk.screen === 'check',
      changed: setPlaying,
    });
    player.current = own;
    return () => void own.close();
  }, [desk, sitting]);
  const judged = sitting?.book.judged;
  if (!sitting || !judged || note === null) return null;
  const { takes, heard } = sitting.book;
  const own = takes.flatMap(({ id, midi }, source) => (midi === note ? [{ id, source }] : []));
  const playable = takes.some(({ midi, pieces }) => midi === note && pieces > 0);
  const view = noteView(judged, note, own, heard, playable);
  if (!view) return null;
  return (
    <NoteScreen
      view={view}
      playing={playing}
      actions={{
        onPlay: (takeId, seconds) => void player.current?.play(takeId, seconds, HEARD_SECONDS),
        onStop: () => player.current?.stop(),
        open: (midi) => desk.openNote(midi),
        playAgain: (midi) => void desk.playAgain(midi),
      }}
    />
  );
}
