/**
 * How often a quick re-strike fails, by how far the finger lets the key up: figures of a computed action, a model.
 *
 * A reduced dynamic model of one grand action was played stroke by stroke, with random good regulation and with single
 * faults; it was never compared with a recording. Depth is the finger's return, mm, from 11 mm: about 0.85 mm more than the
 * key's. Every entry is "missed / weak" in per cent of the strokes: missed, no tone or more than 22 dB under; weak, 6 to
 * 22 dB under. The depth varied from stroke to stroke by the SD named, and by 0.3 mm from passage to passage.
 */

/** Rates, strokes a second, of the rows. */
export const RATES = [6, 7, 8] as const;
/** SD of the hand's depth, mm, of the blocks of {@link GOOD}. */
export const DEPTH_SDS = [0.5, 0.8, 1.2] as const;
/** Mean depths, mm, of the columns; the tables of faults have the first three. */
export const DEPTH_MEANS = [5.0, 5.5, 6.0, 6.5] as const;
/** SD of the hand's depth, mm, at which the faults were played. */
export const FAULT_DEPTH_SD = 0.8;

/** Missed and weak, shares. */
export type Failing = readonly [missed: number, weak: number];

const row = (text: string): Failing[] =>
  text.split(' ').map((cell) => {
    const [missed, weak] = cell.split('/').map((part) => Number(part) / 100);
    return [missed, weak] as const;
  });

/** Notes in order: by SD, then rate, then mean depth. */
export const GOOD: readonly (readonly (readonly Failing[])[])[] = [
  [row('0.1/4.5 0/1.6 0/0.5 0/0.1'), row('0.2/7 0/2 0/0.4 0/0'), row('2/11 0.5/3 0.1/0.7 0/0.2')],
  [row('0.6/13 0.2/8 0.1/4.5 0/2.3'), row('1.3/17 0.4/11 0.1/5.5 0/2'), row('3.7/17 1.3/9 0.4/4.5 0.1/2.3')],
  [row('3/22 1/17 0.3/13 0.1/10'), row('5/24 2.7/19 1.2/14 0.4/10'), row('9/23 5/17 2.4/12 0.7/8')],
];

export const ACTION_FAULTS = [
  'spring x0.8',
  'spring x0.7',
  'lever -0.45',
  'lever -0.6',
  'check 20',
  'check 25',
  'dip -0.5',
  'dip -1',
  'centre x2',
  'centre x4',
] as const;
export type ActionFault = (typeof ACTION_FAULTS)[number];

/** Notes with one fault, at the middle hand: by rate, then mean depth. */
export const FAULTY: Readonly<Record<ActionFault, readonly (readonly Failing[])[]>> = {
  'spring x0.8': [row('16/7 8/4 4/2'), row('27/6 13/4 4/3'), row('54/3 32/3 16/2')],
  'spring x0.7': [row('30/3 19/2 7/2'), row('46/3 27/3 10/2'), row('61/2 35/3 17/2')],
  'lever -0.45': [row('2/27 0/14 0/6'), row('3/28 1/14 0/8'), row('7/23 3/15 1/7')],
  'lever -0.6': [row('8/22 5/14 2/6'), row('8/23 4/14 2/7'), row('15/20 11/12 4/6')],
  'check 20': [row('2/24 1/16 0/9'), row('6/34 3/24 1/15'), row('35/23 27/21 22/16')],
  'check 25': [row('5/39 3/34 2/26'), row('36/29 31/29 27/26'), row('75/10 80/8 75/9')],
  'dip -0.5': [row('0/14 0/7 0/3'), row('2/18 1/10 0/6'), row('5/19 2/12 0/6')],
  'dip -1': [row('1/17 0/10 0/6'), row('2/22 1/14 0/6'), row('11/24 5/16 3/9')],
  'centre x2': [row('3/10 1/6 0/4'), row('4/12 2/8 1/5'), row('11/11 5/6 1/4')],
  'centre x4': [row('10/5 5/4 2/2'), row('11/6 5/3 2/1'), row('15/6 8/3 3/2')],
};

/**
 * Mean of what a weak re-strike lies beyond 6 dB under, dB, from the shares below 6 and below 14 dB at 6 strokes a second,
 * mean 5.25 mm: good 14 and 1.3 %, lever -0.45 22 and 8, lever -0.6 25 and 18, check 23 and 6. What has no figure is as good.
 */
export const WEAK_BEYOND: Readonly<Partial<Record<ActionFault, number>>> = {
  'lever -0.45': 7,
  'lever -0.6': 12,
  'check 20': 5,
  'check 25': 5,
};
export const WEAK_BEYOND_GOOD = 2.9;

/** Slope of failing against depth, as a logistic scale, mm: from 67, 33, 10 and 2 % at 3.75, 4.25, 4.75 and 5.25 mm. */
export const DEPTH_SCALE = 0.34;
/** A passage's own shift of the depth, SD, mm. */
export const PASSAGE_SHIFT = 0.3;
