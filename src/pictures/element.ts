/**
 * Pictures as a tree of elements: written once, turned into SVG text here and into React elements by the screens.
 *
 * Conventions: attribute names as SVG writes them; lengths are CSS pixels, numbers rounded to hundredths. A tree that
 * was built holds no number that is not finite: what has no place must not be drawn.
 */

export interface PictureNode {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (PictureNode | string)[];
}

type Value = string | number | null | undefined;

const NAME = /^[a-z][a-zA-Z0-9]*([-:][a-z]+)*$/;

/**
 * An element; attributes that are null or undefined are left out.
 * @throws RangeError for a number that is not finite, or a tag or attribute name that SVG does not write so.
 */
export function element(
  tag: string,
  attributes: Readonly<Record<string, Value>> = {},
  ...children: readonly (PictureNode | string)[]
): PictureNode {
  const kept: Record<string, string | number> = {};
  for (const name of [tag, ...Object.keys(attributes)]) {
    if (!NAME.test(name)) throw new RangeError(`"${name}" in <${tag}>; expected a name such as "stroke-width"`);
  }
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined) continue;
    kept[name] = typeof value === 'number' ? rounded(value, `${name} of <${tag}>`) : value;
  }
  return { tag, attributes: kept, children };
}

/** Elements one after the other in a group moved by `x`, `y`. */
export function moved(x: number, y: number, children: readonly PictureNode[]): PictureNode {
  return element('g', { transform: `translate(${rounded(x, 'x')} ${rounded(y, 'y')})` }, ...children);
}

/** A path's data from letters and numbers, the numbers rounded. @throws RangeError as {@link element}. */
export function pathData(...parts: readonly (string | number)[]): string {
  return parts.map((part) => (typeof part === 'number' ? rounded(part, 'a path') : part)).join(' ');
}

/** The tree as SVG text. Characters that XML cannot hold become U+FFFD. */
export function svgText(tree: PictureNode): string {
  const attributes = Object.entries(tree.attributes).map(([name, value]) => ` ${name}="${escaped(String(value))}"`);
  const open = `<${tree.tag}${attributes.join('')}`;
  if (tree.children.length === 0) return `${open}/>`;
  const inner = tree.children.map((child) => (typeof child === 'string' ? escaped(child) : svgText(child)));
  return `${open}>${inner.join('')}</${tree.tag}>`;
}

function rounded(value: number, what: string): number {
  if (!Number.isFinite(value)) throw new RangeError(`${what} is ${value}; expected a finite number`);
  // Adding 0 turns −0 into 0.
  return Math.round(value * 100) / 100 + 0;
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
  // As themselves they would be read back as blanks in an attribute.
  '\t': '&#9;',
  '\n': '&#10;',
  '\r': '&#13;',
};

function escaped(text: string): string {
  let out = '';
  for (const letter of text) out += ENTITIES[letter] ?? (isXmlCharacter(letter.codePointAt(0)!) ? letter : '\uFFFD');
  return out;
}

/** Extensible Markup Language (XML) 1.0, fifth edition, production [2] Char. */
function isXmlCharacter(code: number): boolean {
  return (
    code === 0x9 ||
    code === 0xa ||
    code === 0xd ||
    (code >= 0x20 && code <= 0xd7ff) ||
    (code >= 0xe000 && code <= 0xfffd) ||
    code >= 0x10000
  );
}
