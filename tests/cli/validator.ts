/** The JSON Schema of the analysis document, as a check that documents pass or not. */

import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';

export interface Definition {
  readonly enum?: readonly (string | null)[];
  readonly const?: string;
  readonly required?: readonly string[];
  readonly properties?: Readonly<Record<string, Definition>>;
}

const schema = JSON.parse(
  readFileSync(new URL('../../src/analysis/analysis.schema.json', import.meta.url), 'utf8'),
) as { readonly $defs: Readonly<Record<string, Definition>> };

export const definitions = schema.$defs;

const check = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false }).compile(schema);

/** What is wrong with a document, one line a fault; empty for one that keeps to the schema. */
export function faultsOf(document: unknown): string[] {
  if (check(document)) return [];
  return (check.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}
