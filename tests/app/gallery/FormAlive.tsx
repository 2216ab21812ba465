/** Forms that can be typed into: what is kept is what their drafts are read as. */

import { useState } from 'react';
import { GaugeScreen } from '../../../src/app/gauges/GaugeScreen.tsx';
import { gaugeView } from '../../../src/app/gauges/gaugeView.ts';
import { readPiano } from '../../../src/app/piano/pianoForm.ts';
import { PianoScreen } from '../../../src/app/piano/PianoScreen.tsx';
import { readVisit } from '../../../src/app/visit/visitForm.ts';
import { VisitScreen } from '../../../src/app/visit/VisitScreen.tsx';
import { newGaugeReading } from '../../../src/record/newThings.ts';
import { GAUGE_FORMS, PIANO, PIANO_FORMS, VISIT_FORMS } from './formViews.ts';

interface Props {
  screen: 'piano' | 'visit' | 'gauges';
  name: string;
  acted: (...words: readonly unknown[]) => void;
}

export function FormAlive({ screen, name, acted }: Props) {
  switch (screen) {
    case 'piano':
      return <PianoAlive name={name} acted={acted} />;
    case 'visit':
      return <VisitAlive name={name} acted={acted} />;
    case 'gauges':
      return <GaugesAlive name={name} acted={acted} />;
  }
}

type Own = Omit<Props, 'screen'>;

function PianoAlive({ name, acted }: Own) {
  const { piano, unit, readOnly, draft: first } = PIANO_FORMS[name];
  const [draft, setDraft] = useState(first);
  const read = readPiano(draft, piano, unit);
  return (
    <PianoScreen {...{ draft, read, unit, readOnly }} onDraft={setDraft} onDone={() => acted('done', read.piano)} />
  );
}

function VisitAlive({ name, acted }: Own) {
  const { facts, draft: first, ...others } = VISIT_FORMS[name];
  const [draft, setDraft] = useState(first);
  const read = readVisit(draft, facts);
  return (
    <VisitScreen
      view={{ piano: 'Aldervane 274, Quillwater Hall', day: '18 May 2026', draft, read, ...others }}
      actions={{
        draft: setDraft,
        piano: () => acted('piano'),
        gauges: () => acted('gauges'),
        done: () => acted('done', read.visit),
      }}
    />
  );
}

function GaugesAlive({ name, acted }: Own) {
  const { readings: first, midi: from, ...others } = GAUGE_FORMS[name];
  const [readings, setReadings] = useState(first);
  const [midi, setMidi] = useState(from);
  return (
    <GaugeScreen
      view={gaugeView({ midi, piano: PIANO, readings, ...others })}
      actions={{
        note: setMidi,
        read: (of, when, kind, millimetres) => {
          acted('read', of, when, kind, millimetres);
          const [id, at] = [`r${readings.length}`, `2026-05-18T16:${10 + readings.length}:00.000Z`];
          setReadings([...readings, newGaugeReading({ id, visitId: 'v', midi: of, when, kind, millimetres, at })]);
        },
        takeBack: (id) => {
          acted('takeBack', id);
          setReadings(readings.map((one) => (one.id === id ? { ...one, undone: true } : one)));
        },
        done: () => acted('done'),
      }}
    />
  );
}
