import { describe, expect, it } from 'vitest';
import { ForcedSum, freeAfter, freeDuring } from '../../src/synthesis/hammer.ts';

/** The convolution of the raised cosine with e^(l t) sin, by the midpoint rule: another way to the same number. */
function byQuadrature(omega: number, decay: number, width: number, time: number): number {
  const steps = 40000;
  const end = Math.min(time, width);
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const s = ((i + 0.5) / steps) * end;
    const pulse = (1 - Math.cos((2 * Math.PI * s) / width)) / width;
    sum += pulse * Math.exp(-decay * (time - s)) * Math.sin(omega * (time - s));
  }
  return (sum * end) / steps;
}

describe('hammer pulse on a damped vibration', () => {
  const cases = [
    { hertz: 27.5, decay: 1, width: 0.0037 },
    { hertz: 440, decay: 3.3, width: 0.0016 },
    // The vibration as fast as the pulse itself, where the closed form's denominators are smallest.
    { hertz: 1 / 0.0011, decay: 2, width: 0.0011 },
    { hertz: 4186, decay: 60, width: 0.0005 },
    { hertz: 11000, decay: 200, width: 0.004 },
  ];
  it.each(cases)('agrees with quadrature at $hertz Hz, pulse $width s', ({ hertz, decay, width }) => {
    const omega = 2 * Math.PI * hertz;
    const during = freeDuring(omega, decay, width);
    const after = freeAfter(during, omega, decay, width);
    const forced = new ForcedSum(width);
    forced.add(omega, decay, 1, 0);
    const free = (z: { re: number; im: number }, t: number): number =>
      Math.exp(-decay * t) * (z.re * Math.sin(omega * t) + z.im * Math.cos(omega * t));
    for (const place of [0, 0.1, 0.5, 0.93]) {
      const t = place * width;
      expect(free(during, t) + forced.at(t)).toBeCloseTo(byQuadrature(omega, decay, width, t), 6);
    }
    for (const place of [1, 1.3, 4]) {
      expect(free(after, place * width)).toBeCloseTo(byQuadrature(omega, decay, width, place * width), 6);
    }
  });

  it('sums weighted vibrations', () => {
    const both = new ForcedSum(0.002);
    both.add(1000, 5, 0.7, 0.2);
    both.add(9000, 50, -1.1, 0.4);
    const first = new ForcedSum(0.002);
    first.add(1000, 5, 0.7, 0.2);
    const second = new ForcedSum(0.002);
    second.add(9000, 50, -1.1, 0.4);
    expect(both.at(0.0007)).toBeCloseTo(first.at(0.0007) + second.at(0.0007), 12);
  });
});
