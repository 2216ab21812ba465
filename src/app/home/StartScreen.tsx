/** Before a round: which piano, which notes, what is kept of the sound. */

import { useId, type ReactNode } from 'react';
import type { PlanKind } from '../../piano/plan.ts';
import { KEEP_AUDIO, type KeepAudio } from '../../record/types.ts';
import { counted } from '../words.ts';
import { NoticeCards } from '../Notices.tsx';
import { Choice } from '../Shell.tsx';
import { BeforeRound } from './BeforeRound.tsx';
import { KeyPicker } from './KeyPicker.tsx';
import type { PlanOffer, StartChoices, StartOffers } from './view.ts';

interface Props {
  offers: StartOffers;
  choices: StartChoices;
  onChange: (choices: StartChoices) => void;
  onStart: () => void;
  onNotice: (code: string, action: string) => void;
  /** A hand that was learned elsewhere, as a file. */
  onHandFile: (file: File) => void;
  /** More about the piano that is chosen or named. */
  onPiano: () => void;
}

const PLAN_WORDS: Readonly<Record<PlanKind, string>> = {
  free: 'Any notes, as they are played',
  'one-note': 'One note with its neighbours',
  'hand-picked': 'Notes picked by hand',
  section: 'A section',
  compass: 'The whole compass',
  sampled: 'Sampled notes: B and E of each octave, ends of sections',
  'open-worklist': 'Open notes of the worklist',
  'after-adjustment': 'Notes that were worked on, with neighbours',
};

const KEEP_WORDS: Readonly<Record<KeepAudio, string>> = {
  all: 'All of it',
  flagged: 'Of flagged notes only',
  none: 'None once the round is closed',
};

export function StartScreen({ offers, choices, onChange, onStart, onNotice, onHandFile, onPiano }: Props) {
  const set = (change: Partial<StartChoices>) => onChange({ ...choices, ...change });
  return (
    <main className="start-screen">
      <NoticeCards notices={offers.notices} onAction={onNotice} />
      <div className="start-columns">
        <PianoPart offers={offers} choices={choices} set={set} onHandFile={onHandFile} onPiano={onPiano} />
        <PlanPart offers={offers} choices={choices} set={set} />
      </div>
      <BeforeRound key={choices.pianoId} visit={offers.visit} onDraft={(visit) => set({ visit })} />
      <div className="start-foot">
        {!named(choices) && <p className="second">Give the piano a name to start.</p>}
        {lacking(choices) && <p className="second">{lacking(choices)}</p>}
        <button
          type="button"
          className="act start"
          disabled={!named(choices) || lacking(choices) !== null}
          onClick={onStart}
        >
          Start
        </button>
      </div>
    </main>
  );
}

interface PartProps {
  offers: StartOffers;
  choices: StartChoices;
  set: (change: Partial<StartChoices>) => void;
}

function PianoPart({ offers, choices, set, onHandFile, onPiano }: PartProps & Pick<Props, 'onHandFile' | 'onPiano'>) {
  const { pianos, references, keeping, roomLeft } = offers;
  return (
    <div className="start-part">
      {pianos.length > 0 && (
        <Field name="Piano">
          {(id) => (
            <select
              id={id}
              value={choices.pianoId ?? ''}
              onChange={({ target }) => {
                const piano = pianos.find((one) => one.id === target.value);
                set({
                  pianoId: piano?.id ?? null,
                  pianoName: piano?.name ?? '',
                  place: piano?.place ?? '',
                  visit: null,
                });
              }}
            >
              <option value="">A new piano</option>
              {pianos.map(({ id: pianoId, name, place }) => (
                <option key={pianoId} value={pianoId}>
                  {place ? `${name}, ${place}` : name}
                </option>
              ))}
            </select>
          )}
        </Field>
      )}
      {choices.pianoId === null && (
        <>
          <TextField name="Name of the piano" value={choices.pianoName} onText={(pianoName) => set({ pianoName })} />
          <TextField name="Where it stands" value={choices.place} onText={(place) => set({ place })} />
        </>
      )}
      {named(choices) && (
        <button type="button" className="other" onClick={onPiano}>
          More about this piano
        </button>
      )}
      <TextField name="Player" value={choices.player} onText={(player) => set({ player })} />
      <TextField
        name="Where the microphone stands"
        hint="on a cloth, left of the keys"
        value={choices.microphonePlace}
        onText={(microphonePlace) => set({ microphonePlace })}
      />
      <Field name="Hand to hold it against">
        {(id) => (
          <select
            id={id}
            value={choices.referenceId ?? ''}
            onChange={({ target }) => set({ referenceId: target.value || null })}
          >
            <option value="">None: the notes of this round</option>
            {references.map(({ id: referenceId, name, learned }) => (
              <option key={referenceId} value={referenceId}>
                {name}, {learned}
              </option>
            ))}
          </select>
        )}
      </Field>
      <label className="chooser other">
        <input
          type="file"
          className="unseen"
          accept=".json,application/json"
          onChange={({ target }) => {
            const file = target.files?.[0];
            // Emptied, so that choosing the same file again is a choice again.
            target.value = '';
            if (file) onHandFile(file);
          }}
        />
        <span>Take a hand from a file</span>
      </label>
      <fieldset>
        <legend>Sound to keep</legend>
        {KEEP_AUDIO.map((kept) => (
          <Choice
            key={kept}
            group="keep"
            words={KEEP_WORDS[kept]}
            detail={keeping[kept]}
            chosen={choices.keepAudio === kept}
            onChoose={() => set({ keepAudio: kept })}
          />
        ))}
        <p className="second">
          The sound stays on this device{roomLeft !== null && `, where ${roomLeft} are free`}. Takes can be heard anew
          only from kept sound.
        </p>
      </fieldset>
    </div>
  );
}

function PlanPart({ offers, choices, set }: PartProps) {
  return (
    <fieldset className="start-part">
      <legend>Notes</legend>
      {offers.plans.map((offer) => (
        <div className="plan" key={offer.kind}>
          <Choice
            group="plan"
            words={PLAN_WORDS[offer.kind]}
            detail={offerWords(offer)}
            chosen={choices.plan === offer.kind}
            onChoose={() => set({ plan: offer.kind })}
          />
          {choices.plan === offer.kind && <PlanDetail kind={offer.kind} {...{ offers, choices, set }} />}
        </div>
      ))}
    </fieldset>
  );
}

function PlanDetail({ kind, offers, choices, set }: PartProps & { kind: PlanKind }) {
  switch (kind) {
    case 'one-note':
      return (
        <KeyPicker
          one
          picked={choices.oneNote === null ? [] : [choices.oneNote]}
          onPick={(picked) => set({ oneNote: picked[0] ?? null })}
        />
      );
    case 'hand-picked':
      return <KeyPicker one={false} picked={choices.picked} onPick={(picked) => set({ picked })} />;
    case 'section':
      return (
        <Field name="Which">
          {(id) => (
            <select
              id={id}
              value={choices.sectionId ?? ''}
              onChange={({ target }) => set({ sectionId: target.value || null })}
            >
              <option value="">Choose a section</option>
              {offers.sections.map(({ id: sectionId, name }) => (
                <option key={sectionId} value={sectionId}>
                  {name}
                </option>
              ))}
            </select>
          )}
        </Field>
      );
    case 'free':
    case 'compass':
    case 'sampled':
      return null;
  }
}

function offerWords({ notes, minutes }: PlanOffer): string | null {
  const parts: string[] = [];
  if (notes !== null) parts.push(counted(notes, 'note'));
  if (minutes !== null) parts.push(`about ${counted(minutes, 'minute')}`);
  return parts.length > 0 ? parts.join(', ') : null;
}

function named({ pianoId, pianoName }: StartChoices): boolean {
  return pianoId !== null || pianoName.trim() !== '';
}

/** What the plan still lacks, as a sentence; null: nothing. */
function lacking({ plan, oneNote, picked, sectionId }: StartChoices): string | null {
  if (plan === 'one-note' && oneNote === null) return 'Choose the note.';
  if (plan === 'hand-picked' && picked.length === 0) return 'Pick at least one note.';
  if (plan === 'section' && sectionId === null) return 'Choose the section.';
  return null;
}

function Field({ name, children }: { name: string; children: (id: string) => ReactNode }) {
  const id = useId();
  return (
    <div>
      <label className="field-name" htmlFor={id}>
        {name}
      </label>
      {children(id)}
    </div>
  );
}

interface TextProps {
  name: string;
  hint?: string;
  value: string;
  onText: (text: string) => void;
}

function TextField({ name, hint, value, onText }: TextProps) {
  return (
    <Field name={name}>
      {(id) => (
        <input
          id={id}
          type="text"
          value={value}
          placeholder={hint}
          autoComplete="off"
          onChange={({ target }) => onText(target.value)}
        />
      )}
    </Field>
  );
}
