/** One note to the bottom: how it feels, on what that rests, its strokes passage by passage, what to look at first. */

import { useMemo, useState, type ReactNode } from 'react';
import { fastChart } from '../../pictures/fastStrokes.ts';
import { gentleChart } from '../../pictures/gentleStrokes.ts';
import { fastTable, gentleTable, slowTable, travelTable } from '../../pictures/noteTables.ts';
import { ORDER_WORDS, orderSaid } from '../../piano/looks.ts';
import { moreThanShown, slowChart, unstableByRest, type SlowOrder } from '../../pictures/slowStrokes.ts';
import { travelChart, travelPoints } from '../../pictures/travel.ts';
import { Icon, VerdictMark } from '../glyphs.tsx';
import { KeyNumber, NoteName } from '../NoteName.tsx';
import { counted, figure } from '../words.ts';
import { ChartCard, type Hear } from './ChartCard.tsx';
import { GaugeCard } from './GaugeCard.tsx';
import { lookOf, whyPlay } from './noteWords.ts';
import { soundPlace, type NoteActions, type NoteView, type NoteWork, type SoundPlace } from './view.ts';
import { useLengths } from '../lengths.ts';
import { WorkedOut } from './WorkedOut.tsx';

interface Props {
  view: NoteView;
  /** What is being played now; null for nothing. */
  playing: SoundPlace | null;
  /** Null where there is nothing to see to, or nothing may be changed. */
  work: NoteWork | null;
  actions: NoteActions;
}

export function NoteScreen({ view, playing, work, actions }: Props) {
  const { midi, verdict, words } = view.result;
  const looks = words.next.map(lookOf);
  const inUnit = useLengths();
  const hear: Hear = (stroke) => {
    const place = soundPlace(view, stroke);
    return place && (() => actions.onPlay(place.takeId, place.seconds));
  };
  return (
    <main className="note-screen">
      <div className="note-top">
        <p className="note-name">
          <NoteName midi={midi} stamp />
          <KeyNumber midi={midi} />
          <VerdictMark verdict={verdict} />
        </p>
        <h2 className="note-lead">{words.line}</h2>
      </div>
      <div className="note-evidence">
        <ul>
          {words.evidence.map((sentence) => (
            <li key={sentence}>{inUnit(sentence)}</li>
          ))}
        </ul>
        {looks.length > 0 && (
          // A button, since the address names the screen.
          <button type="button" className="note-link" onClick={toLooks}>
            <span>{looks[0].part === null ? 'What to do next' : `Look at first: ${lower(looks[0].part)}`}</span>
            <Icon name="later" />
          </button>
        )}
      </div>
      <div className="note-played">
        <FastCard view={view} hear={hear} />
        <GentleCard view={view} hear={hear} />
        <BarCard view={view} />
        <SlowCard key={midi} view={view} hear={hear} />
      </div>
      <div className="note-told">
        <TravelCard view={view} hear={hear} />
        {looks.length > 0 && (
          <section className="card note-card" id="look-first" aria-labelledby="look-first-title">
            <div className="card-head">
              <h2 id="look-first-title" tabIndex={-1}>
                {looks[0].part === null ? 'What to do next' : 'Look at first'}
              </h2>
              {looks[0].part !== null && <p className="unit">{ORDER_WORDS[orderSaid(words.next)]}</p>}
            </div>
            <ul className="note-looks">
              {looks.map(({ part, words: said }) => (
                <li key={`${part} ${said}`}>
                  {part !== null && <h3>{part}</h3>}
                  <p>{inUnit(said)}</p>
                </li>
              ))}
            </ul>
            <ul className="note-cautions" aria-label="To mind">
              {words.cautions.map((sentence) => (
                <li key={sentence}>{sentence}</li>
              ))}
            </ul>
          </section>
        )}
        {view.uprightWords && <p className="card">{view.uprightWords}</p>}
        <GaugeCard view={view} gauge={actions.gauge} />
        <WorkedOut view={view} />
      </div>
      <Foot {...{ view, playing, work, actions }} />
    </main>
  );
}

function toLooks(): void {
  document.getElementById('look-first')!.scrollIntoView({ block: 'start' });
  document.getElementById('look-first-title')!.focus({ preventScroll: true });
}

function lower(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

interface CardProps {
  view: NoteView;
  hear: Hear;
}

function FastCard({ view: { result, strokes, asked, uprightWords }, hear }: CardProps) {
  const askedOf = (take: number) => asked[take] ?? null;
  if (fastChart(result.midi, strokes, 324, askedOf) === null) {
    return <NotPlayed id="fast" title="Fast strokes" why={whyPlay('fast', uprightWords !== null)} />;
  }
  const draw = (width: number) => fastChart(result.midi, strokes, width, askedOf)!;
  return <ChartCard id="fast" draw={draw} table={fastTable(strokes, askedOf)} hear={hear} />;
}

function GentleCard({ view: { result, strokes, uprightWords }, hear }: CardProps) {
  if (gentleChart(result.midi, strokes, 324) === null) {
    return <NotPlayed id="gentle" title="Gentle strokes" why={whyPlay('gentle', uprightWords !== null)} />;
  }
  const draw = (width: number) => gentleChart(result.midi, strokes, width)!;
  return <ChartCard id="gentle" draw={draw} table={gentleTable(strokes)} hear={hear} />;
}

function BarCard({ view: { bars, uprightWords } }: { view: NoteView }) {
  if (bars.length === 0) return <NotPlayed id="bar" title="Bar" why={whyPlay('bar', uprightWords !== null)} />;
  return (
    <section className="card note-card" id="bar" aria-labelledby="bar-title">
      <div className="card-head">
        <h2 id="bar-title">Bar</h2>
        <p className="unit">{counted(bars.length, 'stroke')}</p>
      </div>
      <div className="scrolled" tabIndex={0} role="region" aria-label="Table of strokes under the bar">
        <table>
          <caption>Strokes under the bar as played: the middle key against its neighbours, ms</caption>
          <thead>
            <tr>
              <th scope="col">Stroke</th>
              <th scope="col">Off</th>
            </tr>
          </thead>
          <tbody>
            {bars.map(({ group, secondDifferenceSeconds, refused }, i) => (
              <tr key={group}>
                <th scope="row">{i + 1}</th>
                <td>
                  {refused !== null
                    ? 'not counted: a slip is likely'
                    : secondDifferenceSeconds === null
                      ? 'not known'
                      : figure(1000 * secondDifferenceSeconds, 2)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

const ORDERS: readonly { readonly order: SlowOrder; readonly words: string }[] = [
  { order: 'loudness', words: 'Loudness' },
  { order: 'played', words: 'As played' },
  { order: 'after', words: 'After firm, after slow' },
];

function SlowCard({ view: { result, strokes, hand, uprightWords }, hear }: CardProps) {
  const [order, setOrder] = useState<SlowOrder>('loudness');
  const [all, setAll] = useState(false);
  const many = moreThanShown(strokes);
  const unstable = unstableByRest(result);
  const table = useMemo(() => slowTable(strokes, order, hand, all), [strokes, order, hand, all]);
  if (slowChart(result.midi, strokes, 324) === null) {
    return <NotPlayed id="slow" title="Slow strokes" why={whyPlay('slow', uprightWords !== null)} />;
  }
  const draw = (width: number) => slowChart(result.midi, strokes, width, { order, hand, unstable, all })!;
  return (
    <ChartCard id="slow" draw={draw} table={table} hear={hear}>
      <fieldset className="note-orders">
        <legend className="unseen">Order of the slow strokes</legend>
        {ORDERS.map(({ order: each, words }) => (
          <button
            type="button"
            key={each}
            className="other"
            aria-pressed={each === order}
            onClick={() => setOrder(each)}
          >
            {words}
          </button>
        ))}
      </fieldset>
      {many !== null && (
        <button type="button" className="other note-all" aria-pressed={all} onClick={() => setAll(!all)}>
          All {many}
          <span className="unseen"> slow strokes</span>
        </button>
      )}
    </ChartCard>
  );
}

function TravelCard({ view: { result, strokes, hand, uprightWords }, hear }: CardProps) {
  if (travelPoints(strokes).length === 0) {
    return (
      <NotPlayed
        id="travel"
        title="Loudness and travel"
        why={whyPlay('travel', uprightWords !== null)}
        state="no contact heard"
      />
    );
  }
  const draw = (width: number) => travelChart(result.midi, strokes, width, hand)!;
  return <ChartCard id="travel" draw={draw} table={travelTable(strokes)} hear={hear} />;
}

interface NotPlayedProps {
  id: string;
  title: string;
  why: string;
  state?: string;
}

function NotPlayed({ id, title, why, state = 'not played' }: NotPlayedProps): ReactNode {
  const inUnit = useLengths();
  return (
    <details className="card note-card not-played" id={id}>
      <summary>
        <h2>{title}</h2> <span className="unit">{state}</span>
      </summary>
      <p className="second">{inUnit(why)}</p>
    </details>
  );
}

function Foot({ view, playing, work, actions }: Props) {
  const { previous, next, playable, result } = view;
  return (
    <div className="note-foot">
      {playing !== null && (
        <div className="note-playing">
          <p role="status">Playing from {figure(playing.seconds, 1)} s</p>
          <button type="button" className="other" onClick={actions.onStop}>
            Stop
          </button>
        </div>
      )}
      {work && <NoteWorkLine midi={result.midi} work={work} actions={actions} />}
      <div className="note-moves">
        <Neighbour midi={previous} icon="earlier" way="Previous" open={actions.open} />
        {playable && (
          <button type="button" className={work ? 'other' : 'act'} onClick={() => actions.playAgain(result.midi)}>
            Play again
          </button>
        )}
        <Neighbour midi={next} icon="later" way="Next" open={actions.open} />
      </div>
    </div>
  );
}

const STATE_WORDS = {
  adjusted: 'Adjusted: play it to hear what that did',
  done: 'Done',
  'left-as-is': 'Left as is',
} as const;

function NoteWorkLine({ midi, work, actions }: { midi: number; work: NoteWork; actions: NoteActions }) {
  const { state, turned } = work;
  const inUnit = useLengths();
  if (state === 'adjusted' || state === 'done' || state === 'left-as-is') {
    return (
      <p className="note-settled">
        <Icon name="check" />
        <span>
          {STATE_WORDS[state]}
          {turned && ` (${inUnit(turned)})`}
        </span>
      </p>
    );
  }
  return (
    <div className="note-work">
      <button type="button" className="act" onClick={() => actions.adjusted(midi)}>
        <Icon name="check" />I adjusted it
      </button>
      <button type="button" onClick={() => actions.leaveAsIs(midi)}>
        Leave as is
      </button>
    </div>
  );
}

interface NeighbourProps {
  midi: number | null;
  icon: 'earlier' | 'later';
  way: string;
  open: (midi: number) => void;
}

function Neighbour({ midi, icon, way, open }: NeighbourProps) {
  return (
    <button
      type="button"
      className="other neighbour"
      aria-disabled={midi === null}
      onClick={() => midi !== null && open(midi)}
    >
      <Icon name={icon} />
      <span className="unseen">{way} note, </span>
      {midi === null ? <span className="unseen">none</span> : <NoteName midi={midi} />}
    </button>
  );
}
