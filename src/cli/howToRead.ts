/** How to read the listing; once for all files. */
export const HOW_TO_READ: readonly string[] = [
  'Unstable: repeats fail, or the start wanders, more than with this hand on notes in order; see to it first.',
  'Watch: something seems off, but too little to tell it from the hand; have a second look.',
  'Steady: what a note out of order would show was looked for and not found; smaller faults may hide, --json says which.',
  'Not enough yet is no praise: too few strokes of use, or nothing to hold them against.',
  'Sound cannot show how high a lever stands, nor dip, aftertouch, drop or checking: what stands under "Look at first" is where to look, never the cause.',
  'Uneven: how far quick strokes stray from an even beat, in 100 of the time between two, the hand still in it; in 9 of 10 takes it lies within the brackets. Timed to: how well the strokes of a note are timed against each other.',
  'Contacts: slow strokes whose finger-key contact was clearly heard; Travel: the time from it to the tone, at the loudness it was played with. Faint contacts, and those in one of two places, do not count and stand in brackets in --strokes. "none heard" is an answer: a pressed key makes no sound.',
  'No failed repeat is no proof: none of 8 still allows about 1 in 3, none of 12 about 1 in 5; --strokes says which strokes are in doubt and why.',
];
