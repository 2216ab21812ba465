/** The screen "Open a file": choose a recording, and read what was heard in it; several become a round at once. */

import { useCallback, useEffect, useRef, useState } from 'react';
import { BackButton } from './BackButton.tsx';
import { useDroppedFiles } from './droppedFile.ts';
import { HammerMark } from './glyphs.tsx';
import { NoteCards } from './NoteCards.tsx';
import { Sentence } from './NoteName.tsx';
import { openTake, type OpenedTake, type Progress, type Refusal } from './openTake.ts';
import { readRecordings, recordingOf, refusalOf, type ReadRecordings } from './readRecordings.ts';
import { fetchPracticeTake } from './practiceTakes.ts';
import { StrokeTable } from './StrokeTable.tsx';
import { TakePicker } from './TakePicker.tsx';
import { TakePicture } from './TakePicture.tsx';
import { counted, evidenceOf, leadOf, spoken } from './words.ts';

type Shown =
  | { readonly state: 'nothing' }
  | Opening
  | Opened
  | { readonly state: 'refused'; readonly file: string; readonly refusal: Refusal }
  /** No round came of what was read. */
  | { readonly state: 'no-round'; readonly left: readonly Refusal[] };

interface Opening {
  readonly state: 'opening';
  readonly file: string;
  /** Which of several files, from 1; null: the only one. */
  readonly place: { readonly number: number; readonly of: number } | null;
  /** `judging`: all is read, and the round is being made. */
  readonly progress: Progress | 'judging' | null;
  /** What is shown again where it is given up. */
  readonly before: Opened | null;
}

interface Opened {
  readonly state: 'heard';
  readonly file: string;
  readonly take: OpenedTake;
}

interface Props {
  /** Leads back to where the screen was opened from; null: nowhere. */
  onBack?: (() => void) | null;
  /** Recordings to open at once. */
  files?: readonly File[];
  /** Shows recordings as one round, unless the signal gives it up. */
  onRound: (read: ReadRecordings, signal: AbortSignal) => void;
}

const NO_FILES: readonly File[] = [];

export function Page({ onBack = null, files: given = NO_FILES, onRound }: Props) {
  const [shown, setShown] = useState<Shown>({ state: 'nothing' });
  const running = useRef<AbortController>(null);
  const making = useRef(onRound);
  useEffect(() => {
    making.current = onRound;
  });

  /** Does some reading in the place of what was read before; `show` is deaf once it is given up. */
  const run = useCallback(async (work: (signal: AbortSignal, show: (next: Shown) => void) => Promise<void>) => {
    running.current?.abort();
    const { signal } = (running.current = new AbortController());
    try {
      await work(signal, (next) => {
        if (!signal.aborted) setShown(next);
      });
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }, []);

  const open = useCallback(
    (file: string, read: () => Promise<ArrayBuffer>) =>
      run(async (signal, show) => {
        const told = (progress: Progress | null) =>
          show({ state: 'opening', file, place: null, progress, before: null });
        told(null);
        try {
          show({ state: 'heard', file, take: await openTake(file, read, signal, told) });
        } catch (error) {
          show({ state: 'refused', file, refusal: refusalOf(file, error) });
        }
      }),
    [run],
  );

  const openSeveral = useCallback(
    (files: readonly File[]) =>
      run(async (signal, show) => {
        const opening = { state: 'opening', before: null } as const;
        const read = await readRecordings(files, signal, ({ number, of, file, progress }) =>
          show({ ...opening, file, place: { number, of }, progress }),
        );
        if (read.recordings.length === 0) return show({ state: 'no-round', left: read.left });
        show({ ...opening, file: read.recordings[0].file, place: null, progress: 'judging' });
        making.current(read, signal);
      }),
    [run],
  );

  const seeAsRound = useCallback(
    (before: Opened) =>
      run(async (signal, show) => {
        const { file, take } = before;
        const told = (progress: Progress | 'judging' | null) =>
          show({ state: 'opening', file, place: null, progress, before });
        told(null);
        try {
          const recording = await recordingOf(take, signal, told);
          told('judging');
          making.current({ recordings: [recording], left: [] }, signal);
        } catch (error) {
          show({ state: 'no-round', left: [refusalOf(file, error)] });
        }
      }),
    [run],
  );

  const openFiles = useCallback(
    (files: readonly File[]) => {
      const [file, ...others] = files;
      if (others.length > 0) void openSeveral(files);
      else if (file) void open(file.name, () => file.arrayBuffer());
    },
    [open, openSeveral],
  );
  const cancel = useCallback(() => {
    running.current?.abort();
    setShown((now) => (now.state === 'opening' && now.before ? now.before : { state: 'nothing' }));
  }, []);
  useDroppedFiles(openFiles);
  useEffect(() => openFiles(given), [given, openFiles]);
  useEffect(() => () => running.current?.abort(), []);

  return (
    <div className="page">
      <header>
        {onBack && <BackButton onBack={onBack} />}
        <HammerMark />
        <div>
          <h1>Evenfall</h1>
          <p className="second">The sound stays on this device.</p>
        </div>
      </header>
      <main>
        <TakePicker
          opened={'file' in shown ? shown.file : null}
          onPractice={(take) => void open(take.file, () => fetchPracticeTake(take))}
          onFiles={openFiles}
        />
        <Result shown={shown} onCancel={cancel} onRound={(opened) => void seeAsRound(opened)} />
      </main>
      <p className="unseen" aria-live="polite">
        {announced(shown)}
      </p>
    </div>
  );
}

interface ResultProps {
  shown: Shown;
  onCancel: () => void;
  onRound: (opened: Opened) => void;
}

function Result({ shown, onCancel, onRound }: ResultProps) {
  switch (shown.state) {
    case 'nothing':
      return (
        <div className="empty">
          <h2>Does every hammer rest the same way, and repeat?</h2>
          <p>
            Open a practice take, or a recording of your own: any note played slowly eight times, letting the key right
            up, then twelve times fast. Evenfall finds every stroke, names the note and says how surely it repeats.
          </p>
        </div>
      );
    case 'opening':
      return (
        <div className="empty">
          <h2>{progressWords(shown)}</h2>
          <p>{fileWords(shown)}</p>
          <ProgressBar progress={shown.progress} />
          <button type="button" className="other" onClick={onCancel}>
            Cancel
          </button>
        </div>
      );
    case 'refused':
      return (
        <section className="notice refused" aria-labelledby="refused-title">
          <h2 id="refused-title">{shown.refusal.file} cannot be read</h2>
          <Reason refusal={shown.refusal} />
          <p>Nothing was changed. Choose another file.</p>
        </section>
      );
    case 'no-round':
      return (
        <section className="notice refused" aria-labelledby="refused-title">
          <h2 id="refused-title">{NO_ROUND}</h2>
          {shown.left.map((refusal, i) => (
            <div key={i}>
              <h3>{refusal.file}</h3>
              <Reason refusal={refusal} />
            </div>
          ))}
          <p>Nothing was changed. Choose other files.</p>
        </section>
      );
    case 'heard':
      return <Heard key={shown.file} take={shown.take} onRound={() => onRound(shown)} />;
  }
}

const NO_ROUND = 'There is no round in this';

function Reason({ refusal: { found, expected } }: { refusal: Refusal }) {
  return (
    <dl>
      <dt>Found</dt>
      <dd>{found}</dd>
      <dt>Expected</dt>
      <dd>{expected}</dd>
    </dl>
  );
}

function ProgressBar({ progress }: Pick<Opening, 'progress'>) {
  if (progress === null || progress === 'judging' || progress.step === 'decoding') return null;
  const [value, max] =
    progress.step === 'listening' ? [progress.seconds, progress.of] : [progress.take - 1, progress.of];
  // Without a value it only moves: what is under way says nothing of how far it is.
  return <progress aria-label="Heard so far" value={value > 0 ? value : undefined} max={max} />;
}

function Heard({ take: { analysis, samples }, onRound }: { take: OpenedTake; onRound: () => void }) {
  return (
    <>
      <div className="lead">
        <h2>
          <Sentence words={leadOf(analysis)} />
        </h2>
        <p>
          <Sentence words={evidenceOf(analysis)} />
        </p>
        <p className="second">{analysis.source.file}</p>
        {analysis.notes.length > 0 && (
          <button type="button" className="other" onClick={onRound}>
            See it as a round
          </button>
        )}
      </div>
      {analysis.warnings.map(({ code, message }) => (
        <section className="notice warning" key={code}>
          <h3>Note</h3>
          <p>{message}</p>
        </section>
      ))}
      {analysis.advice.map(({ code, message }) => (
        <section className="notice advice" key={code}>
          <h3>For this round</h3>
          <p>{message}</p>
        </section>
      ))}
      <TakePicture analysis={analysis} samples={samples} />
      {analysis.strokes.length > 0 && (
        <div className={analysis.notes.length === 1 ? 'columns' : 'rows'}>
          {analysis.notes.length > 0 && (
            <div className="notes">
              <NoteCards notes={analysis.notes} />
            </div>
          )}
          <StrokeTable strokes={analysis.strokes} />
        </div>
      )}
    </>
  );
}

/** "Decoding", "Listening: finding the strokes in 180 s of sound", "Listening: 41 s of 180 s", "Timing note 3 of 12". */
function progressWords({ progress, before }: Opening): string {
  if (progress === 'judging') return 'Judging the round';
  if (progress === null) return before ? 'Timing the notes' : 'Reading';
  switch (progress.step) {
    case 'decoding':
      return 'Decoding';
    case 'listening':
      if (progress.seconds === 0) return `Listening: finding the strokes in ${Math.round(progress.of)} s of sound`;
      return `Listening: ${Math.round(progress.seconds)} s of ${Math.round(progress.of)} s`;
    case 'timing':
      return `Timing note ${progress.take} of ${progress.of}`;
  }
}

/** "hall.flac", "File 2 of 3: hall.flac". */
function fileWords({ file, place }: Opening): string {
  return place ? `File ${place.number} of ${place.of}: ${file}` : file;
}

function announced(shown: Shown): string {
  switch (shown.state) {
    case 'nothing':
      return '';
    case 'opening':
      // Said once for each file, not at every step.
      return shown.before ? `Timing the notes of ${shown.file}.` : `Listening. ${fileWords(shown)}.`;
    case 'refused':
      return `${shown.refusal.file} cannot be read. Found ${shown.refusal.found}; expected ${shown.refusal.expected}.`;
    case 'no-round':
      return [NO_ROUND, ...shown.left.map(({ file, found }) => `${file}: found ${found}`), ''].join('. ').trim();
    case 'heard': {
      const { warnings } = shown.take.analysis;
      const notes = warnings.length > 0 ? ` ${counted(warnings.length, 'warning')}.` : '';
      return `${spoken(leadOf(shown.take.analysis))} ${spoken(evidenceOf(shown.take.analysis))}${notes}`;
    }
  }
}
