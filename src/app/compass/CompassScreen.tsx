/** All keys at a glance: what failed to repeat, what starts off its neighbours, what rests unevenly; as a chart or a table. */

import { useEffect, useMemo, useRef, useState, type ReactNode } from 'react';
import { compassChart } from '../../pictures/compass/compassChart.ts';
import { isFlagged } from '../../pictures/compass/compassNote.ts';
import { LAPTOP_ROWS, PHONE_ROWS } from '../../pictures/compass/layout.ts';
import { platformLine, STRIP_PLATFORM, windowMark } from '../../pictures/compass/platformLine.ts';
import { AXIS_SIZE } from '../../pictures/marks.ts';
import { HIGHEST_KEY, LOWEST_KEY } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';
import { VerdictGlyph } from '../glyphs.tsx';
import { PictureNodes } from '../pictures/Picture.tsx';
import { spokenName } from '../words.ts';
import { CompassSlider } from './CompassSlider.tsx';
import { CompassTable } from './CompassTable.tsx';
import { isLargeText, isWide, keysFor, nextOf, windowAround, type KeyWindow } from './keyWindow.ts';
import { SelectedNote } from './SelectedNote.tsx';
import { useRoom, type Room } from './useRoom.ts';
import type { CompassActions, CompassEntry, CompassFilter, CompassLook, CompassView } from './view.ts';
import { WholeWords, WorkedList } from './WorkedList.tsx';

const AMONG: Readonly<Record<CompassFilter, string>> = {
  all: 'flagged',
  unstable: 'unstable',
  watch: 'watched',
  insufficient: 'unsettled',
  worked: 'worked',
};

interface Props {
  view: CompassView;
  actions: CompassActions;
  /** How it was looked at before a note was opened; null: for the first time. */
  look?: CompassLook | null;
  onLook?: (look: CompassLook) => void;
}

export function CompassScreen({ view, actions, look = null, onLook }: Props) {
  const own = useRef<HTMLElement>(null);
  const room = useRoom(own);
  const { notes, compared } = view;
  const [asked, setFilter] = useState<CompassFilter>(look?.filter ?? 'all');
  const filter = asked === 'worked' && compared === null ? 'all' : asked;
  const [table, setTable] = useState(look?.table ?? false);
  const [selected, setSelected] = useState<MidiNote>(() => look?.selected ?? firstSelected(view));
  const [start, setStart] = useState<MidiNote>(() => selected - 11);
  const [announcement, setAnnouncement] = useState('');
  useEffect(() => onLook?.({ filter: asked, table, selected }), [onLook, asked, table, selected]);
  const entries = useMemo(() => new Map(notes.map((entry) => [entry.midi, entry])), [notes]);
  const chosen = useMemo(() => chosenNotes(view, filter), [view, filter]);
  const stepped = filter === 'all' ? notes.filter(isFlagged).map(({ midi }) => midi) : [...chosen];
  const large = room !== null && isLargeText(room.textTimes);
  const wide = room !== null && isWide(room.width, room.textTimes);
  const keys = room === null ? null : keysFor(room.width, room.textTimes);
  const shown = keys === null ? null : heldWindow(start, keys, selected);
  const select = (midi: MidiNote, by: 'key' | 'finger' | 'button') => {
    setSelected(midi);
    if (by !== 'finger' && shown && keys) setStart(windowAround(midi, shown.from, keys).from);
    if (by === 'button') {
      const entry = entries.get(midi);
      setAnnouncement(entry ? `${spokenName(midi)}. ${entry.line}` : spokenName(midi));
    }
  };
  const listed = filter === 'worked' && !wide && compared !== null;
  const toTable = (
    <button type="button" className="compass-chip table" aria-pressed={table} onClick={() => setTable(!table)}>
      Table
    </button>
  );
  return (
    <main className={`compass${large ? ' large' : ''}`} ref={own}>
      <div className="compass-head">
        <div className="compass-line">
          <p>{view.title}</p>
          {view.rounds.length > 1 && <RoundChoice view={view} onChoose={actions.chooseRound} />}
          {!large && !wide && toTable}
        </div>
        <div className="compass-chips" role="group" aria-label="Show">
          {large && toTable}
          <FilterChips view={view} filter={filter} onFilter={setFilter} />
          {!large && wide && toTable}
        </div>
      </div>
      {view.advice.map((sentence) => (
        <p className="compass-advice" key={sentence}>
          {sentence}
        </p>
      ))}
      {notes.length === 0 && (
        <p className="compass-empty">Nothing heard yet. Play any note slowly, eight times, letting the key right up.</p>
      )}
      {notes.length > 0 && table && (
        <CompassTable
          caption={view.caption}
          rows={view.rows.filter(({ midi }) => chosen.has(midi))}
          selected={selected}
          onOpen={actions.open}
        />
      )}
      {notes.length > 0 && !table && listed && (
        <WorkedList title={compared.title} worked={compared.worked} onOpen={actions.open} />
      )}
      {notes.length > 0 && !table && !listed && room && shown && (
        <>
          {shown.to - shown.from < HIGHEST_KEY - LOWEST_KEY && (
            <Strip view={view} room={room} shown={shown} onPick={(midi) => select(midi, 'key')} />
          )}
          <Chart {...{ view, room, shown, filter, chosen, entries, selected, stepped, wide }} onSelect={select} />
          {wide && <Legend compared={filter === 'worked'} />}
          <SelectedNote
            midi={selected}
            entry={entries.get(selected) ?? null}
            worked={filter === 'worked' ? (compared?.worked.find(({ midi }) => midi === selected) ?? null) : null}
            previous={nextOf(stepped, selected, -1)}
            next={nextOf(stepped, selected, 1)}
            among={AMONG[filter]}
            onSelect={(midi) => select(midi, 'button')}
            onOpen={actions.open}
          />
        </>
      )}
      {filter === 'worked' && compared && <WholeWords sentences={compared.whole} />}
      <p className="unseen" aria-live="polite">
        {announcement}
      </p>
    </main>
  );
}

/** The most urgent note, else the first that was heard. */
function firstSelected({ rows, notes }: CompassView): MidiNote {
  const flagged = rows.find(isFlagged);
  return flagged?.midi ?? notes[0]?.midi ?? 60;
}

/** The window as it was left; another width may show fewer keys, and the selected one stays among them. */
function heldWindow(start: MidiNote, keys: number, selected: MidiNote): KeyWindow {
  const from = Math.max(LOWEST_KEY, Math.min(HIGHEST_KEY - keys + 1, start));
  const to = from + keys - 1;
  return selected < from || selected > to ? windowAround(selected, from, keys) : { from, to };
}

function chosenNotes({ notes, compared }: CompassView, filter: CompassFilter): ReadonlySet<MidiNote> {
  if (filter === 'all') return new Set(notes.map(({ midi }) => midi));
  if (filter === 'worked') return new Set(compared?.worked.map(({ midi }) => midi));
  return new Set(notes.filter(({ verdict }) => verdict === filter).map(({ midi }) => midi));
}

interface ChartProps {
  view: CompassView;
  room: Room;
  shown: KeyWindow;
  filter: CompassFilter;
  chosen: ReadonlySet<MidiNote>;
  entries: ReadonlyMap<MidiNote, CompassEntry>;
  selected: MidiNote;
  stepped: readonly MidiNote[];
  wide: boolean;
  onSelect: (midi: MidiNote, by: 'key' | 'finger') => void;
}

function Chart({ view, room, shown, filter, chosen, entries, selected, stepped, wide, onSelect }: ChartProps) {
  const { round, breaks, compared } = view;
  const { width, textTimes } = room;
  const { from, to } = shown;
  // Drawn anew only where something of it changes: moving the cursor draws nothing else.
  const chart = useMemo(() => {
    const rows = wide ? LAPTOP_ROWS : PHONE_ROWS;
    const sizes = { ...rows, width, from, to, text: Math.round(AXIS_SIZE * textTimes) };
    const before = filter === 'worked' ? (compared?.round ?? null) : null;
    return compassChart(round, sizes, { breaks, before, chosen: filter === 'all' ? null : chosen });
  }, [round, breaks, compared, width, textTimes, from, to, wide, filter, chosen]);
  return <CompassSlider {...{ chart, entries, selected, onSelect }} flagged={stepped} />;
}

interface StripProps {
  view: CompassView;
  room: Room;
  shown: KeyWindow;
  onPick: (midi: MidiNote) => void;
}

/** All keys small, with the window of those below; a tap moves it. The slider does the same by key. */
function Strip({ view: { round }, room: { width }, shown, onPick }: StripProps) {
  const sizes = useMemo(() => ({ ...STRIP_PLATFORM, width }), [width]);
  const line = useMemo(() => platformLine(round, sizes), [round, sizes]);
  const mark = useMemo(() => [windowMark(shown.from, shown.to, sizes)], [shown.from, shown.to, sizes]);
  return (
    <svg
      className="compass-strip"
      aria-hidden="true"
      width={width}
      height={sizes.height}
      viewBox={`0 0 ${width} ${sizes.height}`}
      onPointerDown={({ clientX, currentTarget }) => {
        const { left, width: drawn } = currentTarget.getBoundingClientRect();
        const key = Math.floor(((clientX - left) / drawn) * (HIGHEST_KEY - LOWEST_KEY + 1));
        onPick(Math.max(LOWEST_KEY, Math.min(HIGHEST_KEY, LOWEST_KEY + key)));
      }}
    >
      <PictureNodes nodes={line.marks} />
      <PictureNodes nodes={mark} />
    </svg>
  );
}

interface ChipsProps {
  view: CompassView;
  filter: CompassFilter;
  onFilter: (filter: CompassFilter) => void;
}

function FilterChips({ view: { notes, counts, compared }, filter, onFilter }: ChipsProps) {
  const chip = (of: CompassFilter, count: number, words: string, glyph: ReactNode = null) => (
    <button
      type="button"
      className={`compass-chip ${of}`}
      aria-pressed={filter === of}
      onClick={() => onFilter(filter === of ? 'all' : of)}
    >
      <span className="compass-count">
        {glyph}
        {count}
      </span>{' '}
      <span>{words}</span>
    </button>
  );
  return (
    <>
      {chip('all', notes.length, 'All')}
      {chip('unstable', counts.unstable, 'Unstable', <VerdictGlyph verdict="unstable" />)}
      {chip('watch', counts.watch, 'Watch', <VerdictGlyph verdict="watch" />)}
      {chip('insufficient', counts.insufficient, 'Not enough', <VerdictGlyph verdict="insufficient" />)}
      {compared && chip('worked', compared.worked.length, 'Worked')}
    </>
  );
}

function RoundChoice({ view, onChoose }: { view: CompassView; onChoose: (id: string) => void }) {
  return (
    <select
      aria-label="Round"
      value={view.chosenRound ?? view.rounds[0].id}
      onChange={({ target }) => onChoose(target.value)}
    >
      {view.rounds.map(({ id, words }) => (
        <option key={id} value={id}>
          {words}
        </option>
      ))}
    </select>
  );
}

const LEGEND = [
  ['M2 8h12v10H2z', 'did not speak'],
  ['M2 14h12v4H2z', 'weak'],
  ['M1 13a4 4 0 1 0 8 0a4 4 0 1 0-8 0zM10.5 15a2.6 2.6 0 1 0 5.200 0a2.6 2.6 0 1 0-5.200 0z', 'double'],
] as const;

/** What the marks are; beside the words at the rows' ends. */
function Legend({ compared }: { compared: boolean }) {
  return (
    <p className="compass-legend">
      {LEGEND.map(([d, words]) => (
        <span key={words}>
          <svg viewBox="0 0 16 24" width="16" height="24" aria-hidden="true">
            <path d={d} />
          </svg>
          {words}
        </span>
      ))}
      <span>
        <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
          <rect className="band" x="1" y="6" width="22" height="12" />
        </svg>
        a firm note, two spreads
      </span>
      {compared && <span>before: left, hollow or thin; after: right, solid; faint: not heard again</span>}
    </p>
  );
}
