/** Where decoded sound lies against its original. */

/** Lags tried to either side, samples: more than any encoder's silence here. */
const MOST_LAG = 1_200;

/**
 * Samples that `decoded` is later than `original`, where their differences correlate best; and how well, 0 to 1.
 */
export function lagOf(decoded: Float32Array, original: Float32Array): { lag: number; likeness: number } {
  const difference = (samples: Float32Array) => samples.map((sample, i) => sample - (samples[i - 1] ?? 0));
  const a = difference(original);
  const b = difference(decoded);
  const energy = (samples: Float32Array) => samples.reduce((sum, sample) => sum + sample * sample, 0);
  const scale = Math.sqrt(energy(a) * energy(b));
  let best = { lag: 0, likeness: -1 };
  for (let lag = -MOST_LAG; lag <= MOST_LAG; lag++) {
    let sum = 0;
    const end = Math.min(a.length, b.length - lag);
    for (let i = Math.max(0, -lag); i < end; i++) sum += a[i] * b[i + lag];
    const likeness = sum / scale;
    if (likeness > best.likeness) best = { lag, likeness };
  }
  return best;
}
