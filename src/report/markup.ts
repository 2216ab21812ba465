/**
 * The report's tree of elements as HTML text. Every text and every attribute is escaped: names are typed by people.
 *
 * Source: WHATWG HTML, "Serializing HTML fragments" and "Void elements".
 */

import { element, type PictureNode } from '../pictures/element.ts';
import { spokenNote } from '../pictures/words.ts';
import type { MidiNote } from '../units.ts';
import { keyName } from '../piano/keys.ts';

export type Content = PictureNode | string;

const VOID = new Set(['br', 'hr', 'img', 'meta']);

/** The tree as HTML text: no element closes itself but the void ones. Control characters that HTML forbids become U+FFFD. */
export function htmlText(node: Content): string {
  if (typeof node === 'string') return escapedHtml(node);
  const attributes = Object.entries(node.attributes).map(([name, value]) => ` ${name}="${escapedHtml(String(value))}"`);
  const open = `<${node.tag}${attributes.join('')}>`;
  if (VOID.has(node.tag)) return open;
  return `${open}${node.children.map(htmlText).join('')}</${node.tag}>`;
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text that stands in HTML, within an element or an attribute in quotes. */
export function escapedHtml(text: string): string {
  return text
    .replace(/[&<>"']/g, (letter) => ENTITIES[letter])
    .replace(/[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufdcf\ufdf0-\ufffd\u{10000}-\u{10ffff}]/gu, '\ufffd');
}

const SHARP_PATH = 'M3.9 2V19M8.1 1V18M1 8.3L11 5.7M1 14.3L11 11.7';

function sharp(): PictureNode {
  return element(
    'svg',
    { class: 'sharp', viewBox: '0 0 12 20', role: 'img', 'aria-label': ' sharp ' },
    element('path', { d: SHARP_PATH, 'stroke-width': 2 }),
  );
}

/** Words in which sharps are drawn, for the letters have none: "D#3" becomes a D, a drawn sharp and a 3. */
export function drawnWords(words: string): Content[] {
  const parts: Content[] = [];
  let done = 0;
  for (const match of words.matchAll(/\b([A-G])#([0-8])\b/g)) {
    parts.push(words.slice(done, match.index), element('span', { class: 'note' }, match[1], sharp(), match[2]));
    done = match.index + match[0].length;
  }
  return [...parts, words.slice(done)].filter((part) => part !== '');
}

/** A note's name as a stamp. */
export function stampedNote(midi: MidiNote): PictureNode {
  const name = keyName(midi);
  const inner = name.includes('#') ? [name[0], sharp(), name.slice(-1)] : [name[0], name.slice(-1)];
  const [letter, ...rest] = inner;
  return element(
    'span',
    { class: 'stamped', 'aria-label': spokenNote(midi), role: 'img' },
    letter,
    ...rest.map((part) => (typeof part === 'string' ? element('small', {}, part) : part)),
  );
}

/** The tree with every text in it changed; attributes stay. */
export function withTexts(tree: PictureNode, change: (text: string) => string): PictureNode {
  const children = tree.children.map((child) => (typeof child === 'string' ? change(child) : withTexts(child, change)));
  return { ...tree, children };
}

/** An element with words in it, sharps drawn. */
export function worded(tag: string, words: string, name?: string): PictureNode {
  return element(tag, { class: name }, ...drawnWords(words));
}
