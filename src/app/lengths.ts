/** Lengths as the reader wants them: what is kept and computed is in millimetres, and turns to inches only where it is shown. */

import { createContext, useContext } from 'react';
import { millimetresToInches } from '../units.ts';
import type { Settings } from './settings.ts';

const Chosen = createContext<Settings['lengths']>('mm');

/** Says what lengths within it are read in. */
export const LengthsIn = Chosen.Provider;

/** A length or a range of them within a sentence: "44 to 48 mm", "0.5 mm". */
const LENGTH = /(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? mm\b/g;
/** Below a tenth of an inch thousandths matter, above it hundredths (common practice, no source). */
const SMALL = 0.1;

/** A sentence with its lengths in the unit chosen; all else stays. */
export function lengthsIn(lengths: Settings['lengths'], sentence: string): string {
  if (lengths === 'mm') return sentence;
  return sentence.replace(LENGTH, (_, from: string, to: string | undefined) => {
    const inches = [from, to].flatMap((one) => (one === undefined ? [] : [millimetresToInches(Number(one))]));
    const decimals = Math.max(...inches) < SMALL ? 3 : 2;
    return `${inches.map((one) => one.toFixed(decimals)).join(' to ')} in`;
  });
}

/** What lengths are read and typed in here. */
export function useLengthUnit(): Settings['lengths'] {
  return useContext(Chosen);
}

/** Puts the lengths of a sentence into what the reader chose. */
export function useLengths(): (sentence: string) => string {
  const chosen = useContext(Chosen);
  return (sentence) => lengthsIn(chosen, sentence);
}
