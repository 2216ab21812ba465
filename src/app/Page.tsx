/** The screen "Open a file": choose a recording, and read what was heard in it. */

import { useCallback, useEffect, useRef, useState } from 'react';
import { BackButton } from './BackButton.tsx';
import { useDroppedFile } from './droppedFile.ts';
import { HammerMark } from './glyphs.tsx';
import { NoteCards } from './NoteCards.tsx';
import { Sentence } from './NoteName.tsx';
import { Refusal, openTake, type OpenedTake, type Progress } from './openTake.ts';
import { fetchPracticeTake } from './practiceTakes.ts';
import { StrokeTable } from './StrokeTable.tsx';
import { TakePicker } from './TakePicker.tsx';
import { TakePicture } from './TakePicture.tsx';
import { counted, evidenceOf, leadOf, spoken } from './words.ts';

type Shown =
  | { readonly state: 'nothing' }
  | { readonly state: 'opening'; readonly file: string; readonly progress: Progress | null }
  | { readonly state: 'heard'; readonly file: string; readonly take: OpenedTake }
  | { readonly state: 'refused'; readonly file: string; readonly refusal: Refusal };

interface Props {
  /** Leads back to where the screen was opened from; null: nowhere. */
  onBack?: (() => void) | null;
  /** A recording to open at once. */
  file?: File | null;
}

export function Page({ onBack = null, file: given = null }: Props) {
  const [shown, setShown] = useState<Shown>({ state: 'nothing' });
  const running = useRef<AbortController>(null);

  const open = useCallback(async (file: string, read: () => Promise<ArrayBuffer>) => {
    running.current?.abort();
    const own = new AbortController();
    running.current = own;
    setShown({ state: 'opening', file, progress: null });
    try {
      const take = await openTake(file, read, own.signal, (progress) => {
        if (!own.signal.aborted) setShown({ state: 'opening', file, progress });
      });
      if (!own.signal.aborted) setShown({ state: 'heard', file, take });
    } catch (error) {
      if (own.signal.aborted) return;
      const refusal = error instanceof Refusal ? error : new Refusal(file, String(error), 'a readable recording');
      setShown({ state: 'refused', file, refusal });
    }
  }, []);
  const openFile = useCallback((file: File) => void open(file.name, () => file.arrayBuffer()), [open]);
  const cancel = useCallback(() => {
    running.current?.abort();
    setShown({ state: 'nothing' });
  }, []);
  useDroppedFile(openFile);
  useEffect(() => {
    if (given) openFile(given);
  }, [given, openFile]);
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
          opened={shown.state === 'nothing' ? null : shown.file}
          onPractice={(take) => void open(take.file, () => fetchPracticeTake(take))}
          onFile={openFile}
        />
        <Result shown={shown} onCancel={cancel} />
      </main>
      <p className="unseen" aria-live="polite">
        {announced(shown)}
      </p>
    </div>
  );
}

function Result({ shown, onCancel }: { shown: Shown; onCancel: () => void }) {
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
          <h2>{progressWords(shown.progress)}</h2>
          <p>{shown.file}</p>
          {shown.progress?.step === 'listening' && (
            <progress aria-label="Heard so far" value={shown.progress.seconds} max={shown.progress.of} />
          )}
          <button type="button" className="other" onClick={onCancel}>
            Cancel
          </button>
        </div>
      );
    case 'refused':
      return (
        <section className="notice refused" aria-labelledby="refused-title">
          <h2 id="refused-title">{shown.refusal.file} cannot be read</h2>
          <dl>
            <dt>Found</dt>
            <dd>{shown.refusal.found}</dd>
            <dt>Expected</dt>
            <dd>{shown.refusal.expected}</dd>
          </dl>
          <p>Nothing was changed. Choose another file.</p>
        </section>
      );
    case 'heard':
      return <Heard key={shown.file} take={shown.take} />;
  }
}

function Heard({ take: { analysis, samples } }: { take: OpenedTake }) {
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

/** "Decoding", "Listening: 41 s of 180 s". */
function progressWords(progress: Progress | null): string {
  if (progress === null) return 'Reading';
  if (progress.step === 'decoding') return 'Decoding';
  return `Listening: ${Math.round(progress.seconds)} s of ${Math.round(progress.of)} s`;
}

function announced(shown: Shown): string {
  switch (shown.state) {
    case 'nothing':
      return '';
    case 'opening':
      return `Listening to ${shown.file}.`;
    case 'refused':
      return `${shown.refusal.file} cannot be read. Found ${shown.refusal.found}; expected ${shown.refusal.expected}.`;
    case 'heard': {
      const { warnings } = shown.take.analysis;
      const notes = warnings.length > 0 ? ` ${counted(warnings.length, 'warning')}.` : '';
      return `${spoken(leadOf(shown.take.analysis))} ${spoken(evidenceOf(shown.take.analysis))}${notes}`;
    }
  }
}
