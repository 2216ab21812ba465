/**
 * Colours and letters of the pictures, by the names of the tokens.
 *
 * A picture names its colours by class; a class takes the custom property of the page around it, and the light theme's
 * value where there is none. The value stands once more by itself before, for programs that know no custom properties.
 * A file of its own carries both themes. A test holds the values to the page's.
 */

export const COLOURS = [
  'bg',
  'card',
  'band',
  'hair',
  'edge',
  'ink',
  'ink2',
  'ink3',
  'dusk',
  'amber',
  'ember',
  'on-ember',
] as const;
export type Colour = (typeof COLOURS)[number];
export type Theme = Readonly<Record<Colour, string>>;

/** Light. */
export const ROOM: Theme = {
  bg: '#f3f4f6',
  card: '#ffffff',
  band: '#dde2ec',
  hair: '#d5dae2',
  edge: '#6b7485',
  ink: '#12161f',
  ink2: '#444c5c',
  ink3: '#5a6373',
  dusk: '#3547a6',
  amber: '#8a5a00',
  ember: '#b3300f',
  'on-ember': '#ffffff',
};

/** Dark. */
export const STAGE: Theme = {
  bg: '#0f1219',
  card: '#181c26',
  band: '#2a3144',
  hair: '#2b3241',
  edge: '#7a849a',
  ink: '#f4f1ea',
  ink2: '#bdc2ce',
  ink3: '#949cae',
  dusk: '#a9b9ff',
  amber: '#f2be55',
  ember: '#ff8563',
  'on-ember': '#1a0904',
};

/** Class of a filled shape or a text. */
export function filled(colour: Colour): string {
  return `picture-fill-${colour}`;
}

/** Class of an outline without filling. */
export function drawn(colour: Colour): string {
  return `picture-line-${colour}`;
}

export const TEXT_CLASS = 'picture-text';
export const STAMP_CLASS = 'picture-stamp';

/** The rules of the classes; a page with its own tokens needs these alone. */
export function pictureRules(): string {
  const rules = COLOURS.flatMap((colour) => {
    const value = `var(--${colour},${ROOM[colour]})`;
    return [
      `.${filled(colour)}{fill:${ROOM[colour]};fill:${value};stroke:none}`,
      `.${drawn(colour)}{stroke:${ROOM[colour]};stroke:${value};fill:none}`,
    ];
  });
  rules.push(
    `.${TEXT_CLASS}{font-family:system-ui,sans-serif;font-family:var(--text,system-ui,sans-serif)}`,
    `.${STAMP_CLASS}{font-family:Rockwell,Georgia,serif;font-family:var(--stamp,Rockwell,Georgia,serif)}`,
  );
  return rules.join('\n');
}

/** The rules and both themes, for a file that stands alone: dark where the reader prefers it, light on paper. */
export function standaloneRules(): string {
  const light = properties(ROOM);
  return [
    `:root{color-scheme:light dark;${light}}`,
    `@media (prefers-color-scheme:dark){:root{${properties(STAGE)}}}`,
    `@media print{:root{${light}}}`,
    '@media (prefers-contrast:more){:root{--hair:var(--edge)}}',
    pictureRules(),
  ].join('\n');
}

function properties(theme: Theme): string {
  return COLOURS.map((colour) => `--${colour}:${theme[colour]}`).join(';');
}
