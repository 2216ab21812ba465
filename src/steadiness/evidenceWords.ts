/**
 * What a note's line rests on: one sentence each, with its figures, kinds apart, and with what could not be heard.
 */

import type { Finding, Measure, Unused } from './kinds.ts';
import { allowedByNone, counted, countOf, plainFigure, saidPercents, saidShare, saidShares } from './naturalWords.ts';
import { firmContrast, repeatCounts, repeatsHeard, restHeard, type NoteFacts } from './noteFacts.ts';
import { isMeasured, measureOf } from './symptoms.ts';

/** The evidence, what weighs most first; never empty. */
export function evidenceWords(facts: NoteFacts): string[] {
  const said = [
    ...facts.findings.map((finding) => findingSentence(finding, facts)),
    ...patternSentence(facts),
    ...repeatSentences(facts),
    ...restSentences(facts),
    ...unusedSentence(facts),
    ...missedSentences(facts),
    ...againstSentence(facts),
    ...settleSentences(facts),
  ];
  return said.length > 0 ? said : ['Too few strokes were heard to say anything of it.'];
}

function findingSentence(finding: Finding, { measures }: NoteFacts): string {
  const { kind, size, unit, interval, n } = finding;
  if (unit === 'share') {
    const [strokes, verb] = shareWords(finding, isMeasured(finding, 'double-when-gentle', measures));
    return `${countOf(size, n)} ${strokes} ${verb}; in the long run ${saidShares(interval)} may.`;
  }
  const [low, high] = interval;
  if (unit === 'ratio') {
    const wide = `between ${low.toFixed(1)} and ${high.toFixed(1)}`;
    return `Its start wanders ${size.toFixed(1)} times as far as a firm note\u2019s (${wide} times, ${counted(n, 'stroke')}).`;
  }
  if (unit === 'percent') {
    const range = `(${saidPercents(interval)}, ${counted(n, 'stroke')})`;
    if (kind === 'early-or-late') {
      return `At the same loudness it answers ${plainFigure(size)} in 100 of the travel time ${size < 0 ? 'sooner' : 'later'} than its neighbours ${range}.${firmSays(measures)}`;
    }
    if (kind === 'uneven-repeats') {
      return `Its quick repeats stray ${plainFigure(size)} in 100 from an even beat ${range}.`;
    }
    if (isMeasured(finding, 'after-firm', measures)) return contrastSentence(finding);
    const ratio = kind === 'wandering-rest' ? measureOf(measures, 'spread-ratio') : null;
    const times = ratio ? `, ${ratio.value.toFixed(1)} times as far as a firm note\u2019s` : '';
    return `Its start wanders by ${plainFigure(size)} in 100 of the travel time ${range}${times}.`;
  }
  const inUnit = unit === 'per-second' ? 'a second' : unit;
  const model = unit === 'mm' ? ' at the hammer, in a model' : '';
  const passages = isMeasured(finding, 'fading', measures);
  const of = counted(n, passages ? 'fast passage' : 'stroke');
  const range = `between ${plainFigure(low)} and ${plainFigure(high)} ${inUnit}, ${of}`;
  const what = isMeasured(finding, 'level-drop', measures)
    ? 'Fast strokes fall short of the slow ones by'
    : OTHER_SIZES[kind];
  return `${what ?? 'It is off by'} ${plainFigure(size)} ${inUnit}${model} (${range}).`;
}

/** Whether the firm strokes agree, where they could be compared. */
function firmSays(measures: readonly Measure[]): string {
  const firm = measureOf(measures, 'firm-against-slow');
  if (firm === null) return '';
  const [low, high] = firm.interval;
  return low <= 0 && high >= 0
    ? ' Its firm strokes say the same.'
    : ' Its firm strokes do not say the same, so let-off and drop come before blow and lever.';
}

function contrastSentence({ size, interval, n }: Pick<Finding, 'size' | 'interval' | 'n'>): string {
  const when = size < 0 ? 'sooner' : 'later';
  return `After a firm stroke it answers ${plainFigure(size)} in 100 of the travel time ${when} than after a slow one (${saidPercents(interval)}, ${counted(n, 'stroke')}).`;
}

const OTHER_SIZES: Readonly<Partial<Record<Finding['kind'], string>>> = {
  'weak-when-hard': 'Firm strokes fall short by',
  'fading-repeats': 'Over a fast passage the loudness falls by',
  'weak-repeats': 'Quick repeats fall short by',
  'wandering-rest': 'Its start wanders by',
  'early-or-late': 'Against its neighbours it is off by',
  'uneven-repeats': 'Its quick repeats stray by',
};

/** Which strokes a share counts, and what they did. */
function shareWords({ kind, n }: Finding, gentle: boolean): readonly [string, string] {
  const several = (word: string) => `${word}${n === 1 ? '' : 's'}`;
  switch (kind) {
    case 'missed-repeats':
      return [several('quick repeat'), 'stayed silent'];
    case 'weak-repeats':
      return [several('quick repeat'), 'came out weak'];
    case 'silent-when-gentle':
      return [several('very soft stroke'), 'stayed silent'];
    case 'weak-when-hard':
      return [several('firm stroke'), 'came out weaker than the travel time promised'];
    case 'double-strikes':
      return [several(gentle ? 'very soft stroke' : 'stroke'), 'struck twice'];
    case 'jammed':
      return [several('stroke'), 'jammed'];
    default:
      return [several('stroke'), 'show it'];
  }
}

const PATTERN_WORDS = {
  lone: 'It was the only one that failed.',
  'every-second': 'The failures fall on every second stroke; with two fingers, that is the finger first.',
  'until-return': 'Once it failed, it went on failing until the key was let right up.',
  rate: 'Many more failed at the faster rate than at the slower.',
  'after-damped': 'Some failed although the tone before was damped, so the key was let up.',
  scattered: 'The failures lie scattered among the others.',
} as const;

function patternSentence({ pattern, findings, measures }: NoteFacts): string[] {
  const failed = findings.some(({ kind }) => kind === 'missed-repeats' || kind === 'weak-repeats');
  const said: string[] = pattern !== null && failed ? [PATTERN_WORDS[pattern]] : [];
  const damped = measureOf(measures, 'after-damped');
  if (failed && damped && damped.n > 0) {
    said.push(`Of those after a damped tone, ${countOf(damped.value, damped.n)} failed.`);
  }
  return said;
}

/** What the repeats show where no finding says it. */
function repeatSentences(facts: NoteFacts): string[] {
  const { measures, findings } = facts;
  const { n, failed } = repeatCounts(measures);
  const told = findings.some(({ kind }) => kind === 'missed-repeats' || kind === 'weak-repeats');
  const said: string[] = [];
  if (n > 0 && failed === 0 && !told) {
    said.push(`None of ${counted(n, 'quick repeat')} failed: still up to about ${saidShare(allowedByNone(n))} could.`);
  } else if (n > 0 && !told) {
    const share = measureOf(measures, 'failed-repeats');
    const range =
      share && share.n === n && Math.round(share.value * n) === failed
        ? `; in the long run ${saidShares(share.interval)} may`
        : '';
    said.push(`${failed} of ${counted(n, 'quick repeat')} failed${range}.`);
  }
  switch (repeatsHeard(facts)) {
    case 'let-up-more':
      said.push('So many repeats failed on the whole piano that those of no single note were judged.');
      break;
    case 'let-up-less':
      said.push('The keys were let up so far that weak repeats would hardly show: they were not tested.');
      break;
    case 'no-reference':
      said.push('How often this hand misses on notes in order is not known, so little follows from the repeats.');
      break;
    case 'not-played':
      if (restHeard(facts) === 'judged') said.push('No quick repeats were heard, so only the rest was judged.');
      break;
    case 'judged':
  }
  return said;
}

/** What the slow strokes show where no finding says it. */
function restSentences(facts: NoteFacts): string[] {
  const { measures, findings } = facts;
  switch (restHeard(facts)) {
    case 'no-contact':
      return [`The finger\u2019s contact was not heard, so ${soOnly(facts)}.`];
    case 'too-few':
      return [`Too few slow strokes could be timed from the finger\u2019s contact, so ${soOnly(facts)}.`];
    case 'no-reference':
      return ['There are too few notes in order to hold its rest against, so how evenly it rests was not judged.'];
    case 'not-played':
      return ['No slow strokes were heard, so how evenly it rests was not judged.'];
    case 'judged': {
      const said: string[] = [];
      const ratio = measureOf(measures, 'spread-ratio');
      const toldRatio = findings.some(
        (finding) =>
          finding.kind === 'wandering-rest' &&
          ['ratio', 'percent'].includes(finding.unit) &&
          !isMeasured(finding, 'after-firm', measures),
      );
      if (ratio && !toldRatio) {
        const [low, high] = ratio.interval.map((end) => end.toFixed(1));
        said.push(
          `Its start wanders ${ratio.value.toFixed(1)} times as far as a firm note\u2019s (between ${low} and ${high} times, ${counted(ratio.n, 'stroke')}).`,
        );
      }
      const contrast = firmContrast(measures);
      const told = contrast !== null && findings.some((finding) => isMeasured(finding, 'after-firm', measures));
      if (contrast?.unit === 'percent' && !told) said.push(contrastSentence({ ...contrast, size: contrast.value }));
      return said;
    }
  }
}

function soOnly(facts: NoteFacts): string {
  return repeatsHeard(facts) === 'judged' ? 'only the repeats were judged' : 'how evenly it rests was not judged';
}

const UNUSED_WORDS: Readonly<Record<Unused, string>> = {
  silent: 'silent',
  'no-contact': 'no contact heard',
  'two-contacts': 'two contacts possible',
  'contact-unsure': 'contact too faint',
  'too-soon': 'too soon after the one before',
  'travel-out-of-range': 'contact too near or too far from the tone',
  'level-out-of-range': 'much louder or softer than the others',
  'other-touch': 'another touch',
  gentle: 'too soft',
};

function unusedSentence({ unused }: NoteFacts): string[] {
  const reasons = (Object.entries(unused) as [Unused, number][]).filter(([, n]) => n > 0).sort(([, a], [, b]) => b - a);
  if (reasons.length === 0) return [];
  const n = reasons.reduce((sum, [, count]) => sum + count, 0);
  const why = reasons.map(([reason, count]) => `${count} ${UNUSED_WORDS[reason]}`).join(', ');
  const said = reasons.length === 1 ? UNUSED_WORDS[reasons[0][0]] : why;
  return [`${counted(n, 'slow stroke')} could not be used for the rest: ${said}.`];
}

/** What these strokes could have missed; nothing where the verdict is plain, or of what was found. */
function missedSentences(facts: NoteFacts): string[] {
  const { verdict, couldHaveShown, findings } = facts;
  if (verdict === 'unstable') return [];
  const { failureRate, spreadPercent, shiftPercent, modelMillimetres } = couldHaveShown;
  const found = (...kinds: Finding['kind'][]) => findings.some(({ kind }) => kinds.includes(kind));
  const said: string[] = [];
  if (failureRate !== null && !found('missed-repeats', 'weak-repeats') && repeatsHeard(facts) === 'judged') {
    const share = saidShare(failureRate);
    const often = share === 'nearly all' ? 'nearly every quick repeat' : `${share} quick repeats`;
    said.push(
      `A note that fails in ${often} would have been found 4 times in 5; one that fails less often may be missed.`,
    );
  }
  if (spreadPercent !== null && !found('wandering-rest') && restHeard(facts) === 'judged') {
    const model = modelMillimetres === null ? '' : `, in a model ${plainFigure(modelMillimetres)} mm at the hammer,`;
    said.push(
      `A start that wanders by ${plainFigure(spreadPercent)} in 100 of the travel time${model} would have been found 4 times in 5; less may be missed.`,
    );
  }
  if (shiftPercent !== null && !found('early-or-late') && verdict !== 'insufficient') {
    said.push(
      `A note ${plainFigure(shiftPercent)} in 100 of the travel time off its neighbours would have been found 4 times in 5.`,
    );
  }
  return said;
}

/** What it was held against; where only one of rest and repeats was, that one is named. */
function againstSentence(facts: NoteFacts): string[] {
  const { reference, repeatsReference } = facts;
  const rest = restHeard(facts) === 'judged' && reference !== 'none' ? reference : null;
  const repeats = repeatsHeard(facts) === 'judged' && repeatsReference !== 'none' ? repeatsReference : null;
  const used = rest ?? repeats;
  if (used === null) return [];
  const what = rest && repeats ? 'Held' : rest ? 'Its rest is held' : 'Its repeats are held';
  const by =
    rest === 'stored' || repeats === 'stored' ? 'this hand as it was learned earlier' : 'the other notes of this round';
  return [`${what} against ${by}.`];
}

function settleSentences({ verdict, strokesNeeded, looks, provisional }: NoteFacts): string[] {
  const said: string[] = [];
  if (looks > 1) said.push(`It was looked at ${looks === 2 ? 'twice' : `${looks} times`}, with fresh strokes.`);
  if (verdict === 'insufficient' && strokesNeeded === null) {
    said.push('More strokes would hardly settle it in reasonable time.');
  }
  if (provisional) said.push('Not final: the strokes still to come may change it.');
  return said;
}
