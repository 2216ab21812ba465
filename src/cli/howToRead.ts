/** How to read the listing; once for all files. */
export const HOW_TO_READ: readonly string[] = [
  'Unstable: repeats fail, or the start wanders, more than on notes in order under this hand; see to it first.',
  'Watch: something seems off, but not surely; have a second look.',
  'Steady: what a note out of order would show was looked for and not found; smaller faults may hide.',
  'Not enough yet is no praise: too few usable strokes, or nothing to hold them against.',
  '"Look at first" is where to look, never the cause: sound cannot show lever height, dip, aftertouch, drop or checking.',
  'Uneven: how far quick strokes stray from an even beat, in 100 of it, the hand still in it; in brackets its 90 % interval.',
  'Contacts: slow strokes whose finger-key contact was clearly heard. Travel: from there to the tone.',
  'No failed repeat is no proof: none of 8 still allows about 1 in 3, none of 12 about 1 in 5.',
];
