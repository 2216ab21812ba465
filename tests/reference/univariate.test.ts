/**
 * Certified univariate summaries: NIST Statistical Reference Datasets (StRD, itl.nist.gov/div898/strd/univ).
 *
 * Data and certified values were read in the test suites of several public statistics libraries, which agree. The
 * digits of pi and the NumAcc sets are made here. StRD asks how many digits come out right: that many are held.
 */

import { describe, expect, it } from 'vitest';
import { lagOneCorrelation } from '../../src/statistics/autocorrelation.ts';
import { mean, standardDeviation } from '../../src/statistics/intervals.ts';

/** Digits of pi from the 3 on, by Machin's formula in whole numbers. */
function digitsOfPi(count: number): number[] {
  const one = 10n ** BigInt(count + 10);
  const arctangent = (inverse: bigint): bigint => {
    let power = one / inverse;
    let sum = power;
    for (let n = 3n, sign = -1n; power > 0n; n += 2n, sign = -sign) {
      power /= inverse * inverse;
      sum += (sign * power) / n;
    }
    return sum;
  };
  return Array.from(String(16n * arctangent(5n) - 4n * arctangent(239n)).slice(0, count), Number);
}

/** The StRD file has a 3 where pi has its 957th digit, an 8; the certified values are those of the file. */
const piDigits = digitsOfPi(5000).with(956, 3);

/** One value, then two more in turn 500 times. */
const inTurn = (first: number, second: number, third: number): number[] => [
  first,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 ? third : second)),
];

const lew = [
  -213, -564, -35, -15, 141, 115, -420, -360, 203, -338, -431, 194, -220, -513, 154, -125, -559, 92, -21, -579, -52, 99,
  -543, -175, 162, -457, -346, 204, -300, -474, 164, -107, -572, -8, 83, -541, -224, 180, -420, -374, 201, -236, -531,
  83, 27, -564, -112, 131, -507, -254, 199, -311, -495, 143, -46, -579, -90, 136, -472, -338, 202, -287, -477, 169,
  -124, -568, 17, 48, -568, -135, 162, -430, -422, 172, -74, -577, -13, 92, -534, -243, 194, -355, -465, 156, -81, -578,
  -64, 139, -449, -384, 193, -198, -538, 110, -44, -577, -6, 66, -552, -164, 161, -460, -344, 205, -281, -504, 134, -28,
  -576, -118, 156, -437, -381, 200, -220, -540, 83, 11, -568, -160, 172, -414, -408, 188, -125, -572, -32, 139, -492,
  -321, 205, -262, -504, 142, -83, -574, 0, 48, -571, -106, 137, -501, -266, 190, -391, -406, 194, -186, -553, 83, -13,
  -577, -49, 103, -515, -280, 201, 300, -506, 131, -45, -578, -80, 138, -462, -361, 201, -211, -554, 32, 74, -533, -235,
  187, -372, -442, 182, -147, -566, 25, 68, -535, -244, 194, -351, -463, 174, -125, -570, 15, 72, -550, -190, 172, -424,
  -385, 198, -218, -536, 96,
];
const lottery = [
  162, 671, 933, 414, 788, 730, 817, 33, 536, 875, 670, 236, 473, 167, 877, 980, 316, 950, 456, 92, 517, 557, 956, 954,
  104, 178, 794, 278, 147, 773, 437, 435, 502, 610, 582, 780, 689, 562, 964, 791, 28, 97, 848, 281, 858, 538, 660, 972,
  671, 613, 867, 448, 738, 966, 139, 636, 847, 659, 754, 243, 122, 455, 195, 968, 793, 59, 730, 361, 574, 522, 97, 762,
  431, 158, 429, 414, 22, 629, 788, 999, 187, 215, 810, 782, 47, 34, 108, 986, 25, 644, 829, 630, 315, 567, 919, 331,
  207, 412, 242, 607, 668, 944, 749, 168, 864, 442, 533, 805, 372, 63, 458, 777, 416, 340, 436, 140, 919, 350, 510, 572,
  905, 900, 85, 389, 473, 758, 444, 169, 625, 692, 140, 897, 672, 288, 312, 860, 724, 226, 884, 508, 976, 741, 476, 417,
  831, 15, 318, 432, 241, 114, 799, 955, 833, 358, 935, 146, 630, 830, 440, 642, 356, 373, 271, 715, 367, 393, 190, 669,
  8, 861, 108, 795, 269, 590, 326, 866, 64, 523, 862, 840, 219, 382, 998, 4, 628, 305, 747, 247, 34, 747, 729, 645, 856,
  974, 24, 568, 24, 694, 608, 480, 410, 729, 947, 293, 53, 930, 223, 203, 677, 227, 62, 455, 387, 318, 562, 242, 428,
  968,
];
const mavro = [
  2.0018, 2.0017, 2.0018, 2.0019, 2.0018, 2.0017, 2.0015, 2.0014, 2.0015, 2.0015, 2.0017, 2.0018, 2.0018, 2.0019,
  2.0019, 2.0021, 2.002, 2.0016, 2.0014, 2.0013, 2.0013, 2.0015, 2.0015, 2.0016, 2.0015, 2.0014, 2.0013, 2.0014, 2.0015,
  2.0014, 2.0015, 2.0016, 2.0015, 2.0016, 2.0019, 2.002, 2.002, 2.0021, 2.0022, 2.0023, 2.0024, 2.0025, 2.0027, 2.0026,
  2.0026, 2.0026, 2.0027, 2.0026, 2.0025, 2.0024,
];
const michelson = [
  299.85, 299.74, 299.9, 300.07, 299.93, 299.85, 299.95, 299.98, 299.98, 299.88, 300.0, 299.98, 299.93, 299.65, 299.76,
  299.81, 300.0, 300.0, 299.96, 299.96, 299.96, 299.94, 299.96, 299.94, 299.88, 299.8, 299.85, 299.88, 299.9, 299.84,
  299.83, 299.79, 299.81, 299.88, 299.88, 299.83, 299.8, 299.79, 299.76, 299.8, 299.88, 299.88, 299.88, 299.86, 299.72,
  299.72, 299.62, 299.86, 299.97, 299.95, 299.88, 299.91, 299.85, 299.87, 299.84, 299.84, 299.85, 299.84, 299.84,
  299.84, 299.89, 299.81, 299.81, 299.82, 299.8, 299.77, 299.76, 299.74, 299.75, 299.76, 299.91, 299.92, 299.89, 299.86,
  299.88, 299.72, 299.84, 299.85, 299.85, 299.78, 299.89, 299.84, 299.78, 299.81, 299.76, 299.81, 299.79, 299.81,
  299.82, 299.85, 299.87, 299.87, 299.81, 299.74, 299.81, 299.94, 299.95, 299.8, 299.81, 299.87,
];

/** Right digits, StRD's log relative error: −log10(|value − certified| / |certified|), 15 for all. */
const rightDigits = (value: number, certified: number): number =>
  value === certified ? 15 : Math.min(15, -Math.log10(Math.abs((value - certified) / certified)));

describe('StRD univariate sets, certified', () => {
  // Last column: right digits of the deviation and correlation; NumAcc2 to 4 lose what doubles cannot hold of 0.1.
  it.each([
    {
      name: 'PiDigits',
      values: piDigits,
      n: 5000,
      m: 4.5348,
      s: 2.86733906028871,
      r: -0.00355099287237972,
      digits: 12,
    },
    {
      name: 'Lottery',
      values: lottery,
      n: 218,
      m: 518.95871559633,
      s: 291.699727470969,
      r: -0.120948622967393,
      digits: 13,
    },
    { name: 'Lew', values: lew, n: 200, m: -177.435, s: 277.332168044316, r: -0.307304800605679, digits: 13 },
    { name: 'Mavro', values: mavro, n: 50, m: 2.001856, s: 0.000429123454003053, r: 0.937989183438248, digits: 12 },
    {
      name: 'Michelso',
      values: michelson,
      n: 100,
      m: 299.8524,
      s: 0.0790105478190518,
      r: 0.535199668621283,
      digits: 12,
    },
    { name: 'NumAcc1', values: [10000001, 10000003, 10000002], n: 3, m: 10000002, s: 1, r: -0.5, digits: 15 },
    { name: 'NumAcc2', values: inTurn(1.2, 1.1, 1.3), n: 1001, m: 1.2, s: 0.1, r: -0.999, digits: 13 },
    {
      name: 'NumAcc3',
      values: inTurn(1000000.2, 1000000.1, 1000000.3),
      n: 1001,
      m: 1000000.2,
      s: 0.1,
      r: -0.999,
      digits: 9,
    },
    {
      name: 'NumAcc4',
      values: inTurn(10000000.2, 10000000.1, 10000000.3),
      n: 1001,
      m: 10000000.2,
      s: 0.1,
      r: -0.999,
      digits: 8,
    },
  ])('$name', ({ values, n, m, s, r, digits }) => {
    expect(values).toHaveLength(n);
    expect(rightDigits(mean(values), m)).toBeGreaterThanOrEqual(13);
    expect(rightDigits(standardDeviation(values), s)).toBeGreaterThanOrEqual(digits);
    expect(rightDigits(lagOneCorrelation(values)!, r)).toBeGreaterThanOrEqual(digits);
  });
});
