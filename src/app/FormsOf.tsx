/** The forms on the desk: piano, visit, gauge readings. They come when they are asked for. */

import { useEffect } from 'react';
import type { Desk } from './desk/desk.ts';
import {
  gaugesOf,
  inUnit,
  keepReading,
  leaveForm,
  openGauges,
  openPianoOnDesk,
  takeReadingBack,
  typePiano,
  typeVisit,
  type GaugeForm,
  type PianoForm,
  type VisitForm,
} from './desk/forms.ts';
import { dayOf } from './desk/plans.ts';
import { useAtOnce } from './fields/useAtOnce.ts';
import { GaugeScreen } from './gauges/GaugeScreen.tsx';
import { gaugeView } from './gauges/gaugeView.ts';
import { useLengthUnit } from './lengths.ts';
import { readPiano } from './piano/pianoForm.ts';
import { PianoScreen } from './piano/PianoScreen.tsx';
import { readVisit } from './visit/visitForm.ts';
import { VisitScreen } from './visit/VisitScreen.tsx';

export function FormsOf({ desk }: { desk: Desk }) {
  const { form } = desk;
  switch (form?.screen) {
    case 'piano':
      return <PianoOf desk={desk} form={form} />;
    case 'visit':
      return <VisitOf desk={desk} form={form} />;
    case 'gauges':
      return <GaugesOf desk={desk} form={form} />;
    case undefined:
      return null;
  }
}

function PianoOf({ desk, form: { piano, draft: kept, unit } }: { desk: Desk; form: PianoForm }) {
  const [draft, onDraft] = useAtOnce(kept, (typed) => typePiano(desk, typed));
  const chosen = useLengthUnit();
  useEffect(() => inUnit(desk, chosen), [desk, chosen]);
  return (
    <PianoScreen
      draft={draft}
      read={readPiano(draft, piano, unit)}
      unit={unit}
      readOnly={desk.readOnly}
      onDraft={onDraft}
      onDone={() => void leaveForm(desk)}
    />
  );
}

function VisitOf({ desk, form: { piano, visit, draft: kept } }: { desk: Desk; form: VisitForm }) {
  const [draft, onDraft] = useAtOnce(kept, (typed) => typeVisit(desk, typed));
  const unit = useLengthUnit();
  const round = desk.sitting?.book.round;
  const setting = round?.setting;
  const otherwise =
    setting &&
    (setting.player !== visit.player ||
      setting.microphonePlace !== visit.microphonePlace ||
      setting.microphone !== visit.microphone);
  return (
    <VisitScreen
      view={{
        piano: [piano.name, piano.place].filter(Boolean).join(', '),
        day: dayOf(new Date(visit.startedAt)),
        draft,
        read: readVisit(draft, visit),
        beforeFirst: desk.rounds.length === 1 && desk.sitting?.book.takes.length === 0,
        begunOtherwise: round && otherwise ? round.number : null,
        readOnly: desk.readOnly,
      }}
      actions={{
        draft: onDraft,
        piano: () => openPianoOnDesk(desk, unit),
        gauges: () => openGauges(desk, null),
        done: () => void leaveForm(desk),
      }}
    />
  );
}

function GaugesOf({ desk, form: { piano, midi } }: { desk: Desk; form: GaugeForm }) {
  const unit = useLengthUnit();
  const adjusted = desk.work?.notes.some((note) => note.midi === midi && note.turned.length > 0) ?? false;
  return (
    <GaugeScreen
      key={adjusted ? 'after' : 'before'}
      view={gaugeView({ midi, piano, readings: desk.readings, adjusted, unit, readOnly: desk.readOnly })}
      actions={{
        note: (other) => gaugesOf(desk, other),
        read: (...reading) => keepReading(desk, ...reading),
        takeBack: (id) => takeReadingBack(desk, id),
        done: () => void leaveForm(desk),
      }}
    />
  );
}
