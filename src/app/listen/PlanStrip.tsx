/** The 88 keys with what the round has of each note so far; for screens with room for it. */

import { HIGHEST_KEY, LOWEST_KEY, isBlackKey } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';
import type { ListenView } from './view.ts';

const WIDTH = 12.68;
const KEYS: readonly MidiNote[] = Array.from({ length: HIGHEST_KEY - LOWEST_KEY + 1 }, (_, i) => LOWEST_KEY + i);

const left = (midi: MidiNote): number => (midi - LOWEST_KEY) * WIDTH;

export function PlanStrip({ strip, note, next, progress, breaks }: ListenView) {
  const heard = strip.filter(({ verdict }) => verdict !== null).length;
  return (
    <section className="plan-strip" aria-label={`Keys of this round: ${heard} of ${strip.length} heard`}>
      <p className="strip-words">
        <span>Bass</span>
        {progress && <span>{progressWords(progress)}</span>}
        <span>High treble</span>
      </p>
      <svg viewBox={`0 0 ${KEYS.length * WIDTH} 76`} aria-hidden="true">
        {KEYS.map((midi) => (
          <rect
            key={midi}
            className={isBlackKey(midi) ? 'black' : 'white'}
            x={left(midi) + 0.5}
            y="34"
            width={WIDTH - 1}
            height={isBlackKey(midi) ? 25 : 41}
          />
        ))}
        {breaks.map((midi) => (
          <path key={midi} className="break" d={`M${left(midi)} 0V76`} />
        ))}
        {strip.map(({ midi, verdict }) => (
          <g key={midi} className={`strip-note ${verdict ?? 'wanted'}`} transform={`translate(${left(midi)} 0)`}>
            {STRIP_MARKS[verdict ?? 'wanted']}
          </g>
        ))}
        {next?.map((midi) => (
          <path
            key={midi}
            className="strip-next"
            d={`M${left(midi) + 2} 10l4.3 4.500 4.300-4.500M${left(midi)} 20h12`}
          />
        ))}
        {note?.midis.map((midi) => (
          <rect
            key={midi}
            className="present"
            x={left(midi) - 1}
            y="33"
            width={WIDTH + 2}
            height="42"
            rx="3"
            data-heard={note.heard}
          />
        ))}
      </svg>
    </section>
  );
}

/** "10 of 22 notes · about 3 min left". */
export function progressWords({ done, of, minutesLeft }: NonNullable<ListenView['progress']>): string {
  return `${done} of ${of} notes · about ${minutesLeft} min left`;
}

const STRIP_MARKS = {
  steady: (
    <>
      <circle cx="6.3" cy="12.500" r="4" />
      <path d="M-.5 20h13.700" />
    </>
  ),
  watch: (
    <>
      <circle cx="4" cy="11.500" r="4" />
      <path d="M-.5 20.500l13.700-3.500" />
    </>
  ),
  unstable: <rect x="0" y="10" width="12.700" height="11" rx="2" />,
  insufficient: <circle className="hollow" cx="6.3" cy="14" r="4.500" />,
  wanted: <path d="M0 20h12.700" />,
};
