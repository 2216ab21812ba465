/** The picture of a take, with the buttons that move through it. Arrows, plus, minus and 0 do the same from the keys. */

import { useEffect, useMemo, useRef, useState, type KeyboardEvent } from 'react';
import type { AnalysisDocument } from '../analysis/document.ts';
import { chartLayout } from './chartLayout.ts';
import { drawTake, type Palette } from './drawTake.ts';
import { Envelope } from './envelope.ts';
import { Icon } from './glyphs.tsx';
import { TakeNames } from './TakeNames.tsx';
import { moved, wholeOf, zoomed, type View } from './view.ts';
import { evidenceOf, figure, spoken } from './words.ts';

const STEP = 0.5;

export function TakePicture({ analysis, samples }: { analysis: AnalysisDocument; samples: Float32Array }) {
  const duration = analysis.source.durationSeconds;
  const [view, setView] = useState<View>(() => wholeOf(duration));
  const [width, setWidth] = useState(0);
  const [rem, setRem] = useState(16);
  const [redraws, setRedraws] = useState(0);
  const frame = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const envelope = useMemo(() => new Envelope(samples), [samples]);
  const layout = useMemo(() => chartLayout(analysis.strokes, rem), [analysis, rem]);

  useEffect(() => {
    const measure = () => {
      setWidth(frame.current!.clientWidth);
      setRem(parseFloat(getComputedStyle(document.documentElement).fontSize));
      setRedraws((n) => n + 1);
    };
    const sizes = new ResizeObserver(measure);
    sizes.observe(frame.current!);
    const queries = ['(prefers-color-scheme: dark)', '(prefers-contrast: more)', '(forced-colors: active)'];
    const themes = queries.map((query) => matchMedia(query));
    for (const theme of themes) theme.addEventListener('change', measure);
    window.addEventListener('resize', measure);
    return () => {
      sizes.disconnect();
      for (const theme of themes) theme.removeEventListener('change', measure);
      window.removeEventListener('resize', measure);
    };
  }, []);

  useEffect(() => {
    const context = canvas.current!.getContext('2d');
    if (!context || width === 0) return;
    const ratio = devicePixelRatio;
    canvas.current!.width = Math.round(width * ratio);
    canvas.current!.height = Math.round(layout.height * ratio);
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    const style = getComputedStyle(canvas.current!);
    drawTake(
      { context, width, ratio, rem, font: style.fontFamily, palette: paletteOf(style) },
      layout,
      analysis,
      envelope,
      view,
    );
  }, [analysis, envelope, layout, view, width, rem, redraws]);

  const actions = {
    earlier: () => setView((v) => moved(v, -STEP, duration)),
    later: () => setView((v) => moved(v, STEP, duration)),
    in: () => setView((v) => zoomed(v, STEP, duration)),
    out: () => setView((v) => zoomed(v, 1 / STEP, duration)),
    fit: () => setView(wholeOf(duration)),
  };
  const byKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const keys: Record<string, keyof typeof actions> = {
      ArrowLeft: 'earlier',
      ArrowRight: 'later',
      '+': 'in',
      '=': 'in',
      '-': 'out',
      '0': 'fit',
    };
    const name = keys[event.key];
    if (!name) return;
    event.preventDefault();
    actions[name]();
  };
  const decimals = view.to - view.from < 1 ? 3 : view.to - view.from < 10 ? 2 : 1;
  const span = `${figure(view.from, decimals)} to ${figure(view.to, decimals)}`;
  return (
    <section className="card" aria-labelledby="picture-title" onKeyDown={byKey}>
      <div className="card-head">
        <h2 id="picture-title">The take</h2>
        <p className="unit">{span}, time in seconds</p>
      </div>
      <div
        className="picture"
        ref={frame}
        tabIndex={0}
        role="group"
        aria-label="Arrows move, plus and minus zoom, 0 shows all"
      >
        <TakeNames analysis={analysis} view={view} width={width} rem={rem} />
        <canvas ref={canvas} role="img" aria-label={spoken(evidenceOf(analysis))} style={{ height: layout.height }} />
      </div>
      <div className="moves">
        <button type="button" onClick={actions.earlier} disabled={view.from <= 0}>
          <Icon name="earlier" /> <span>Earlier</span>
        </button>
        <button type="button" onClick={actions.later} disabled={view.to >= wholeOf(duration).to - 1e-6}>
          <span>Later</span> <Icon name="later" />
        </button>
        <button type="button" onClick={actions.in}>
          <Icon name="in" /> <span>Closer</span>
        </button>
        <button type="button" onClick={actions.out}>
          <Icon name="out" /> <span>Wider</span>
        </button>
        <button type="button" onClick={actions.fit}>
          <Icon name="fit" /> <span>All</span>
        </button>
      </div>
      <p className="key-to-marks">
        A dot on its shelf is a stroke, higher is louder; a ring is doubtful, a cross stayed silent.
      </p>
    </section>
  );
}

function paletteOf(style: CSSStyleDeclaration): Palette {
  const colour = (name: string) => style.getPropertyValue(`--${name}`).trim();
  return {
    ink: colour('ink'),
    ink2: colour('ink2'),
    ink3: colour('ink3'),
    edge: colour('edge'),
    hair: colour('hair'),
    ember: colour('ember'),
  };
}
