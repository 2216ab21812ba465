/** Why a take was left out, with what to do about it. */

export const WHY_NOT = {
  'too-few-strokes': 'too few strokes: eight slow ones, then twelve fast',
  'fast-only-of-a-new-note': 'play it slowly first, eight times',
  'several-notes': 'several keys at once: one at a time',
  'no-struck-string': 'that was no struck string',
} as const;
