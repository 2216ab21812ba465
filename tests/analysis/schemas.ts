/** The JSON Schemas of the comparison, the repeatability study and the hand reference, as checks. */

import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';

/** What is wrong with a document, one line a fault; empty for one that keeps to the schema of that name. */
export function faultsBy(name: 'comparison' | 'repeatability' | 'reference'): (document: unknown) => string[] {
  const file = new URL(`../../src/analysis/${name}.schema.json`, import.meta.url);
  const schema = JSON.parse(readFileSync(file, 'utf8')) as object;
  const check = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false }).compile(schema);
  return (document) =>
    check(document) ? [] : (check.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

/** A document in JSON once for each field of its objects that can be taken away, and without it. */
export function withoutEachField(document: unknown): { readonly field: string; readonly broken: unknown }[] {
  const whole = JSON.parse(JSON.stringify(document)) as unknown;
  const found: { field: string; broken: unknown }[] = [];
  const seen = new Set<string>();
  const visit = (value: unknown, path: readonly (string | number)[]): void => {
    if (typeof value !== 'object' || value === null) return;
    for (const [key, inner] of Object.entries(value)) {
      const at = [...path, Array.isArray(value) ? Number(key) : key];
      const kind = at.filter((step) => typeof step === 'string').join('.');
      if (!Array.isArray(value) && !seen.has(kind)) {
        seen.add(kind);
        const copy = JSON.parse(JSON.stringify(whole)) as unknown;
        const holder = path.reduce((at, step) => (at as Record<string | number, unknown>)[step], copy);
        Reflect.deleteProperty(holder as object, key);
        found.push({ field: kind, broken: copy });
      }
      visit(inner, at);
    }
  };
  visit(whole, []);
  return found;
}
