/**
 * The fences between the rooms, checked on the text of the files: `rooms.json` says what may stand where.
 *
 * Conventions: paths are relative to the project, with `/`. Every break is one sentence that names the file, what was
 * found and what the rule is. Files come in as text, so that the checker itself can be tested on files that are not
 * there.
 */

import { builtinModules } from 'node:module';
import { posix } from 'node:path';
import ts from 'typescript';

/** What `rooms.json` holds. */
export interface House {
  readonly environments: Readonly<Record<string, readonly string[]>>;
  readonly rooms: Readonly<Record<string, { readonly may: readonly string[]; readonly packages: readonly string[] }>>;
  readonly typesOnly: readonly (readonly string[])[];
  readonly nothingImports: readonly string[];
}

/** One reference from a file to another or to a package. */
export interface Reference {
  readonly to: string;
  /** `type` leaves nothing behind at run time; `address` only names a file for a worker or worklet to load. */
  readonly kind: 'code' | 'type' | 'address';
}

const MOST_LINES = 400;
const VAGUE_NAME = /(util|helper|manager|engine)s?/i;
/** What a browser or Node has and plain ECMAScript has not; rooms that run everywhere may not touch it. */
const FOREIGN_GLOBALS = new Set(
  (
    'window document navigator location history localStorage sessionStorage indexedDB fetch XMLHttpRequest WebSocket ' +
    'setTimeout setInterval setImmediate queueMicrotask requestAnimationFrame performance crypto console alert self ' +
    'globalThis Worker MessageChannel AudioContext OfflineAudioContext AudioWorkletNode AudioWorkletProcessor Blob ' +
    'File FileReader HTMLElement Element DOMParser Image process Buffer global require module exports __dirname ' +
    '__filename'
  ).split(' '),
);

/** The room of a file, or null for a file that stands in none. */
export function roomOf(path: string): string | null {
  if (path === 'src/units.ts') return 'units';
  if (path.startsWith('worklets/')) return 'worklets';
  return /^src\/([^/]+)\/./.exec(path)?.[1] ?? null;
}

/** All breaks of the rules in these files (path to text), in order of the paths. */
export function breaksIn(files: ReadonlyMap<string, string>, house: House): string[] {
  return [...files].sort(([a], [b]) => (a < b ? -1 : 1)).flatMap(([path, text]) => breaksInFile(path, text, house));
}

function breaksInFile(path: string, text: string, house: House): string[] {
  const breaks: string[] = [];
  const lines = text.split('\n').length - (text.endsWith('\n') ? 1 : 0);
  if (lines > MOST_LINES) breaks.push(`${path} has ${lines} lines; at most ${MOST_LINES}`);
  const name = path.split('/').find((part) => VAGUE_NAME.test(part));
  if (name) breaks.push(`${path}: "${name}" does not say what stands in it`);
  if (!/\.tsx?$/.test(path) || !/^(src|worklets)\//.test(path)) return breaks;

  const room = roomOf(path);
  if (room === null || !(room in house.rooms)) return [...breaks, `${path} stands in no room of rooms.json`];
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  for (const reference of referencesIn(source)) {
    const broken = brokenBy(reference, path, room, house);
    if (broken) breaks.push(`${path}: ${broken}`);
  }
  if (runsEverywhere(room, house)) {
    for (const found of foreignIn(source)) breaks.push(`${path} uses ${found}; ${room} runs everywhere`);
  }
  return breaks;
}

function runsEverywhere(room: string, house: House): boolean {
  return ['pure', 'files'].some((environment) => house.environments[environment]?.includes(room));
}

/** Every import, export-from, dynamic import, import type and address of a file. */
export function referencesIn(source: ts.SourceFile): Reference[] {
  const found: Reference[] = [];
  const add = (literal: ts.Node | undefined, kind: Reference['kind']) => {
    if (!literal) return;
    // A computed specifier cannot be checked, and is refused as a path that leads nowhere.
    found.push({ to: ts.isStringLiteralLike(literal) ? literal.text : '', kind });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node)) {
      // `import { type A }` still loads the module at run time: only `import type` counts as a type.
      add(node.moduleSpecifier, node.importClause?.isTypeOnly ? 'type' : 'code');
    } else if (ts.isExportDeclaration(node)) {
      add(node.moduleSpecifier, node.isTypeOnly ? 'type' : 'code');
    } else if (ts.isImportTypeNode(node)) {
      add(ts.isLiteralTypeNode(node.argument) ? node.argument.literal : node.argument, 'type');
    } else if (ts.isExternalModuleReference(node)) {
      add(node.expression, 'code');
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      add(node.arguments[0], 'code');
    } else if (ts.isNewExpression(node) && node.expression.getText(source) === 'URL' && node.arguments?.length === 2) {
      if (node.arguments[1].getText(source) === 'import.meta.url') add(node.arguments[0], 'address');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found.map(({ to, kind }) => (/\?(.*&)?(url|worker)\b/.test(to) ? { to, kind: 'address' } : { to, kind }));
}

function brokenBy({ to, kind }: Reference, path: string, room: string, house: House): string | null {
  if (to === '') return 'an import whose target is computed; expected a fixed one';
  const bare = to.replace(/\?.*$/, '');
  if (!bare.startsWith('.')) return brokenByPackage(bare, room, house);
  if (!/\.(tsx?|json|css|svg|png)$/.test(bare)) return `imports "${to}"; local imports carry their extension`;
  const target = posix.join(posix.dirname(path), bare);
  const other = roomOf(target);
  if (other === null || !(other in house.rooms)) return `imports "${to}", which stands in no room`;
  if (other === room) return null;
  if (house.nothingImports.includes(other)) return `imports ${other}; nothing imports ${other}`;
  if (!house.rooms[room].may.includes(other)) {
    return `${room} may not import ${other} ("${to}"); it may: ${house.rooms[room].may.join(', ') || 'nothing'}`;
  }
  const typesOnly = house.typesOnly.some(([from, into]) => from === room && into === other);
  return typesOnly && kind === 'code' ? `${room} may import only types of ${other} ("${to}"), by "import type"` : null;
}

function brokenByPackage(specifier: string, room: string, house: House): string | null {
  const inNode = house.environments.node?.includes(room) ?? false;
  if (specifier.startsWith('node:') || builtinModules.includes(specifier.split('/')[0])) {
    return inNode ? null : `${room} may not use Node ("${specifier}")`;
  }
  const name = specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');
  return house.rooms[room].packages.includes(name) ? null : `${room} may not use the package ${name}`;
}

/** Names of browser and Node globals, of the clock and of hidden chance, that a file uses without declaring them. */
function foreignIn(source: ts.SourceFile): string[] {
  const declared = new Set<string>();
  const used = new Set<string>();
  const visit = (node: ts.Node): void => {
    if (ts.isIdentifier(node)) {
      if (declares(node)) declared.add(node.text);
      else if (isValueUse(node) && FOREIGN_GLOBALS.has(node.text)) used.add(node.text);
    }
    if (ts.isPropertyAccessExpression(node)) {
      const text = node.getText(source);
      if (text === 'Math.random' || text === 'Date.now') used.add(text);
    }
    if (ts.isNewExpression(node) && node.expression.getText(source) === 'Date' && !node.arguments?.length) {
      used.add('new Date()');
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return [...used].filter((name) => !declared.has(name));
}

function declares(node: ts.Identifier): boolean {
  const { parent } = node;
  return (
    (ts.isVariableDeclaration(parent) ||
      ts.isParameter(parent) ||
      ts.isBindingElement(parent) ||
      ts.isFunctionDeclaration(parent) ||
      ts.isClassDeclaration(parent) ||
      ts.isImportSpecifier(parent) ||
      ts.isImportClause(parent) ||
      ts.isNamespaceImport(parent)) &&
    parent.name === node
  );
}

/** Whether an identifier stands for a value: not a property's or member's name, and not part of a type. */
function isValueUse(node: ts.Identifier): boolean {
  const { parent } = node;
  if (ts.isPropertyAccessExpression(parent) && parent.name === node) return false;
  if (ts.isPropertyAssignment(parent) && parent.name === node) return false;
  // `extends` is a value although its clause counts among the types.
  if (ts.isQualifiedName(parent) || (ts.isTypeNode(parent) && !ts.isExpressionWithTypeArguments(parent))) return false;
  const isMember = ts.isTypeElement(parent) || ts.isClassElement(parent) || ts.isEnumMember(parent);
  return !(isMember && parent.name === node);
}

/** What is wrong with the plan of the house itself: unknown rooms, arrows in a circle, rooms without an environment. */
export function breaksInPlan(house: House): string[] {
  const names = Object.keys(house.rooms);
  const breaks: string[] = [];
  for (const [room, { may }] of Object.entries(house.rooms)) {
    for (const other of may) {
      if (!names.includes(other)) breaks.push(`${room} may import ${other}, which is no room`);
      if (house.nothingImports.includes(other)) breaks.push(`${room} may import ${other}, which nothing imports`);
    }
    const environments = Object.values(house.environments).filter((rooms) => rooms.includes(room));
    if (environments.length !== 1) breaks.push(`${room} stands in ${environments.length} environments; expected one`);
    if (reaches(room, room, house)) breaks.push(`the arrows from ${room} lead back to it`);
  }
  for (const [from, to] of house.typesOnly) {
    if (!house.rooms[from]?.may.includes(to)) breaks.push(`types only from ${from} to ${to}, but no arrow`);
  }
  return breaks;
}

function reaches(from: string, to: string, house: House, seen = new Set<string>()): boolean {
  for (const next of house.rooms[from]?.may ?? []) {
    if (next === to) return true;
    if (seen.has(next)) continue;
    seen.add(next);
    if (reaches(next, to, house, seen)) return true;
  }
  return false;
}
