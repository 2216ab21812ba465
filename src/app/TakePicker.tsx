/** What can be opened: the practice takes, and a file of one's own. */

import { Icon } from './glyphs.tsx';
import { Sentence } from './NoteName.tsx';
import { PRACTICE_TAKES, type PracticeTake } from './practiceTakes.ts';

interface Props {
  /** Name of the file that is open or being opened. */
  opened: string | null;
  onPractice: (take: PracticeTake) => void;
  /** At least one. */
  onFiles: (files: readonly File[]) => void;
}

export function TakePicker({ opened, onPractice, onFiles }: Props) {
  return (
    <nav className="picker" aria-label="Recordings">
      {PRACTICE_TAKES.map((take) => (
        <button
          type="button"
          key={take.file}
          aria-current={take.file === opened ? 'true' : undefined}
          onClick={() => onPractice(take)}
        >
          <small>Practice take</small>
          <span>
            <Sentence words={take.title} />
          </span>
        </button>
      ))}
      <label className="chooser">
        <input
          type="file"
          multiple
          className="unseen"
          accept=".wav,.flac,.ogg,.oga,.opus,.mp3,.m4a,.aac,.webm,audio/*"
          onChange={({ target }) => {
            const files = [...(target.files ?? [])];
            // Emptied, so that choosing the same file again is a choice again.
            target.value = '';
            if (files.length > 0) onFiles(files);
          }}
        />
        <Icon name="open" /> <span>Open a file</span>
      </label>
    </nav>
  );
}
