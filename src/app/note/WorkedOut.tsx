/** How a note was worked out, folded: its measures, the base rates, what was left out and why, what could have been shown. */

import { measureLines } from '../measureWords.ts';
import { counted, figure } from '../words.ts';
import type { NoteView } from './view.ts';
import { useLengths } from '../lengths.ts';
import { PATTERN_WORDS, REFERENCE_WORDS, unusedWords } from './noteWords.ts';

export function WorkedOut({ view }: { view: NoteView }) {
  const { result, hand } = view;
  const { measures, couldHaveShown, looks, pattern, strokesNeeded } = result;
  const unused = unusedWords(result.unused);
  const inUnit = useLengths();
  const shown = shownWords(couldHaveShown).map(inUnit);
  return (
    <details className="card note-card" id="worked-out">
      <summary>How this was worked out</summary>
      {measures.length > 0 && (
        <div className="scrolled" tabIndex={0} role="region" aria-label="Measures">
          <table>
            <caption>What was measured, with the range in which the true figure lies 9 times in 10</caption>
            <thead>
              <tr>
                <th scope="col">Measure</th>
                <th scope="col">Value</th>
                <th scope="col">Range and strokes</th>
              </tr>
            </thead>
            <tbody>
              {measureLines(measures).map(({ what, value, rests }) => (
                <tr key={what}>
                  <th scope="row">{what}</th>
                  <td>{value}</td>
                  <td>{rests}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <h3>Held against</h3>
      <ul className="told">
        <li>
          The hand: {REFERENCE_WORDS[hand.reference]}
          {hand.reference !== 'none' &&
            hand.scalePercent !== null &&
            `; a firm note scatters by ${figure(hand.scalePercent, 1)} in 100 of the travel time`}
          .
        </li>
        <li>
          Repeats: {REFERENCE_WORDS[hand.repeatsReference]}
          {hand.baseRates !== null &&
            `; of 100 quick repeats ${figure(100 * hand.baseRates.quick.silent, 1)} stay silent and ${figure(100 * hand.baseRates.quick.faint, 1)} are silent or weak on this piano, and ${figure(100 * hand.baseRates.doubles, 1)} of 100 strokes strike twice`}
          .
        </li>
        {pattern !== null && <li>{PATTERN_WORDS[pattern]}</li>}
        <li>{looks === 1 ? 'Looked at once.' : `Looked at ${looks} times, each with fresh strokes.`}</li>
      </ul>
      <h3>Left out</h3>
      <ul className="told">
        {unused.length === 0 ? (
          <li>No slow stroke was left out.</li>
        ) : (
          unused.map((words) => <li key={words}>{words}</li>)
        )}
      </ul>
      <h3>What these strokes could have shown</h3>
      <ul className="told">
        {shown.length === 0 ? <li>Too few strokes to say.</li> : shown.map((words) => <li key={words}>{words}</li>)}
        {strokesNeeded !== null && (
          <li>
            Would probably be settled by {counted(strokesNeeded.slow, 'more slow stroke')} and{' '}
            {counted(strokesNeeded.fast, 'more fast stroke')}.
          </li>
        )}
      </ul>
    </details>
  );
}

function shownWords({
  spreadPercent,
  shiftPercent,
  failureRate,
  modelMillimetres,
}: NoteView['result']['couldHaveShown']): string[] {
  return [
    ...(spreadPercent === null
      ? []
      : [`A start that wanders by ${figure(spreadPercent, 1)} in 100 of the travel time.`]),
    ...(shiftPercent === null ? [] : [`A note ${figure(shiftPercent, 1)} in 100 off its neighbours.`]),
    ...(failureRate === null ? [] : [`A note that fails in ${figure(100 * failureRate, 0)} of 100 quick repeats.`]),
    ...(modelMillimetres === null
      ? []
      : [`A rest that differs by ${figure(modelMillimetres, 1)} mm at the hammer (model).`]),
  ];
}
