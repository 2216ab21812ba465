/** The worklist of the visit on the desk. It comes when it is asked for. */

import { useEffect, useState } from 'react';
import type { ChangeWord } from './compass/changes.ts';
import type { Desk } from './desk/desk.ts';
import { adjust, answerAdjusted, atWork, chooseOrder, hearAgain, openFromWork } from './desk/workActions.ts';
import { openGauges } from './desk/forms.ts';
import { hearFresh, notesWithoutFresh } from './desk/freshTake.ts';
import type { MidiNote } from '../units.ts';
import { useCompared } from './useCompared.ts';
import { workView } from './work/workView.ts';
import { WorkScreen } from './work/WorkScreen.tsx';

export function WorkOf({ desk }: { desk: Desk }) {
  const { work, sitting } = desk;
  const compared = useCompared(desk);
  // Asked once: coming back to the list does not ask again.
  const [telling] = useState(desk.toTell);
  useEffect(() => void (desk.toTell = null), [desk]);
  const [withoutFresh, setWithoutFresh] = useState<readonly MidiNote[]>([]);
  /** Changes with what is open: turned and settled notes need no fresh strokes any more. */
  const states = work?.notes.map(({ midi, state }) => `${midi} ${state}`).join(',');
  useEffect(() => {
    let left = false;
    // Where the store cannot say, nothing is asked for.
    notesWithoutFresh(desk).then(
      (midis) => left || setWithoutFresh(midis),
      () => undefined,
    );
    return () => void (left = true);
  }, [desk, sitting, states]);
  if (!work || !sitting) return null;
  const changes = new Map(
    compared?.comparison.notes.map(({ midi, change }): [number, ChangeWord] => [midi, change]) ?? [],
  );
  const view = workView({
    piano: work.piano,
    rounds: work.rounds,
    notes: work.notes,
    hours: work.hours,
    changes,
    asked: sitting.book.waiting,
    withoutFresh,
    planAfter: work.planAfter(),
    readOnly: desk.readOnly,
    now: work.now,
  });
  return (
    <WorkScreen
      view={view}
      telling={telling}
      actions={{
        order: (order) => void chooseOrder(desk, order),
        adjusted: (midi) => void adjust(desk, midi),
        turned: (id, said) => void atWork(desk, (own) => own.say(id, said)),
        undo: (id) => void atWork(desk, (own) => own.undo(id)),
        mark: (midi, kind) => void atWork(desk, (own) => own.mark(midi, kind)),
        answer: (midi, adjusted) => void answerAdjusted(desk, midi, adjusted),
        time: (operation) => void atWork(desk, (own) => own.time(operation)),
        open: (midi) => void openFromWork(desk, midi),
        gauge: (midi) => openGauges(desk, midi),
        hearFresh: () => void hearFresh(desk, withoutFresh),
        hear: () => void hearAgain(desk),
      }}
    />
  );
}
