/**
 * The few distributions that intervals and tests here rest on: gamma and chi-square, beta, Student's t, Fisher's F.
 *
 * Sources: Lanczos approximation of the gamma function (g = 7, n = 9); incomplete gamma by series and continued
 * fraction, DLMF 8.7.1 and 8.9.2; incomplete beta by continued fraction, DLMF 8.17.22 (modified Lentz). Quantiles by
 * bisection: slower than closed approximations, and right to the last digits.
 */

const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/** Logarithm of the gamma function, x > 0. */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const z = x - 1;
  let sum = LANCZOS[0];
  for (let i = 1; i < LANCZOS.length; i++) sum += LANCZOS[i] / (z + i);
  const t = z + 7.5;
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Regularised lower incomplete gamma function P(a, x), a > 0, x ≥ 0. */
export function gammaCdf(a: number, x: number): number {
  if (x <= 0) return 0;
  return x < a + 1 ? gammaSeries(a, x) : 1 - gammaFraction(a, x);
}

/** Regularised upper incomplete gamma function Q(a, x) = 1 − P(a, x), right to the last digits where it is small. */
export function gammaTail(a: number, x: number): number {
  if (x <= 0) return 1;
  return x < a + 1 ? 1 - gammaSeries(a, x) : gammaFraction(a, x);
}

/** P(a, x) by its series, for x < a + 1. */
function gammaSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 1000 && Math.abs(term) > 1e-17 * Math.abs(sum); n++) sum += term *= x / (a + n);
  return sum * Math.exp(a * Math.log(x) - x - logGamma(a));
}

/** Q(a, x) by its continued fraction, for x ≥ a + 1. */
function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < 1000; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return h * Math.exp(a * Math.log(x) - x - logGamma(a));
}

/** Regularised incomplete beta function I_x(a, b), a, b > 0, 0 ≤ x ≤ 1. */
export function betaCdf(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaCdf(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 1000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return front * h;
}

/** Quantile of the chi-square distribution with `degrees` of freedom, 0 < p < 1. */
export function chiSquareQuantile(p: number, degrees: number): number {
  let high = degrees + 10;
  while (gammaCdf(degrees / 2, high / 2) < p) high *= 2;
  return bisect((x) => gammaCdf(degrees / 2, x / 2) - p, 0, high);
}

/** Quantile of the beta distribution, 0 < p < 1. */
export function betaQuantile(p: number, a: number, b: number): number {
  return bisect((x) => betaCdf(x, a, b) - p, 0, 1);
}

/** Probability that Fisher's F with the given degrees of freedom is at most x (through the beta distribution). */
export function fisherCdf(x: number, numerator: number, denominator: number): number {
  if (x <= 0) return 0;
  return betaCdf((numerator * x) / (numerator * x + denominator), numerator / 2, denominator / 2);
}

/** Probability that Fisher's F exceeds x, right to the last digits where it is small. */
export function fisherTail(x: number, numerator: number, denominator: number): number {
  if (x <= 0) return 1;
  return betaCdf(denominator / (numerator * x + denominator), denominator / 2, numerator / 2);
}

/** Quantile of Student's t with `degrees` of freedom, 0 < p < 1, through the beta distribution. */
export function studentQuantile(p: number, degrees: number): number {
  if (p === 0.5) return 0;
  const x = betaQuantile(2 * Math.min(p, 1 - p), degrees / 2, 0.5);
  return Math.sign(p - 0.5) * Math.sqrt((degrees * (1 - x)) / x);
}

/** The zero of a function that rises from `from` to `to`, by halving. */
export function bisect(f: (x: number) => number, from: number, to: number): number {
  let low = from;
  let high = to;
  for (let i = 0; i < 200 && high - low > 1e-15 * Math.abs(high); i++) {
    const middle = (low + high) / 2;
    if (f(middle) < 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
