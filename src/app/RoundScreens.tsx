/** The screens that show a round from afar and from near: compass and note. They come when they are asked for. */

import { useEffect, useMemo, useRef, useState } from 'react';
import type { NoteResult } from '../analysis/document.ts';
import { CompassScreen } from './compass/CompassScreen.tsx';
import { compassView } from './compass/compassView.ts';
import type { Desk } from './desk/desk.ts';
import { openGauges } from './desk/forms.ts';
import { gaugeLines } from './gauges/gaugeView.ts';
import { useLengthUnit } from './lengths.ts';
import { documentAsMeasured, UPRIGHT_WHY } from '../piano/uprights.ts';
import { NoteScreen } from './note/NoteScreen.tsx';
import { SoundPlayer } from './note/playSound.ts';
import { noteView, type NoteWork, type SoundPlace } from './note/view.ts';
import { breaksOf } from './sitting/breaks.ts';
import { adjustFromNote, atWork, readWork } from './desk/workActions.ts';
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
    const shown = compassView({
      document: documentAsMeasured(document, piano.kind),
      title: `${piano.name}, round ${book.round.number}`,
      breaks: breaksOf(piano),
      rounds: desk.rounds.map(({ id, number }) => ({ id, words: `Round ${number}` })),
      chosenRound: book.round.id,
      earlier: compared && {
        ...compared,
        document: documentAsMeasured(compared.document, piano.kind),
        title: `${compared.title}, then round ${book.round.number}`,
      },
    });
    return piano.kind === 'upright' ? { ...shown, advice: [UPRIGHT_WHY, ...shown.advice] } : shown;
  }, [sitting, document, desk.rounds, compared]);
  if (!view) return <EmptyRound desk={desk} />;
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
  useEffect(() => void readWork(desk), [desk, sitting, note]);
  const judged = sitting?.book.judged;
  const unit = useLengthUnit();
  if (!sitting || !judged || note === null) return null;
  const { takes, heard } = sitting.book;
  const own = takes.flatMap(({ id, midi }, source) => (midi === note ? [{ id, source }] : []));
  const playable = takes.some(({ midi, pieces }) => midi === note && pieces > 0);
  const { piano } = sitting;
  const gauges = gaugeLines(note, piano, desk.readings, unit);
  const view = noteView(documentAsMeasured(judged, piano.kind), note, own, heard, playable, gauges, piano.kind);
  if (!view) return null;
  return (
    <NoteScreen
      view={view}
      playing={playing}
      work={workOf(desk, view.result)}
      actions={{
        onPlay: (takeId, seconds) => void player.current?.play(takeId, seconds, HEARD_SECONDS),
        onStop: () => player.current?.stop(),
        open: (midi) => desk.openNote(midi),
        playAgain: (midi) => void desk.playAgain(midi),
        adjusted: (midi) => void adjustFromNote(desk, midi),
        leaveAsIs: (midi) => void atWork(desk, (own) => own.mark(midi, 'left-as-is')),
        gauge: desk.recorded ? null : (midi) => openGauges(desk, midi),
      }}
    />
  );
}

/** Where the work on a note stands. An upright has no worklist; recordings that are not kept have none yet. */
function workOf({ work, sitting, readOnly }: Desk, { midi, verdict }: NoteResult): NoteWork | null {
  if (!work || !sitting || readOnly || sitting.piano.kind === 'upright') return null;
  const known = work.notes.find((note) => note.midi === midi);
  if (known) return { state: known.state, turned: known.turned.map(({ words }) => words).join('; ') || null };
  return verdict === 'watch' || verdict === 'unstable' ? { state: 'open', turned: null } : null;
}

/** A round that was begun and has no notes yet: the others of the visit are a tap away. */
function EmptyRound({ desk }: { desk: Desk }) {
  const own = desk.sitting?.book.round;
  const others = desk.rounds.filter(({ id, summary }) => id !== own?.id && summary !== null);
  return (
    <main className="compass-empty">
      <p>Nothing heard in this round yet.</p>
      {others.map(({ id, number }) => (
        <button key={id} type="button" className="other" onClick={() => void desk.chooseRound(id)}>
          See round {number}
        </button>
      ))}
    </main>
  );
}
