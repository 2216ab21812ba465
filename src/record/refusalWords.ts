/** How refusals speak: what was found, and what a schema expects at a place. */

import type * as v from 'valibot';

/** A value as it stands in a refusal: short, without its contents where those are long. */
export function shown(value: unknown): string {
  if (value === undefined) return 'missing';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'string') return JSON.stringify(value.length > 60 ? `${value.slice(0, 57)}...` : value);
  if (typeof value === 'object' && value !== null) return 'an object';
  return String(value);
}

/** What a schema expects at a path, in the words of its messages; null where the path leaves it. */
export function expectedAt(schema: v.GenericSchema, path: readonly string[]): string | null {
  let here: Described | undefined = schema;
  for (const step of path) {
    const inner: Described | undefined = here && bare(here);
    here = inner?.entries?.[step] ?? inner?.item ?? inner?.items?.[Number(step)] ?? valueOf(inner);
    if (here === undefined) return null;
  }
  const words = bare(here).message;
  if (typeof words !== 'string') return null;
  return here.type === 'nullable' ? `${words}, or null` : words;
}

/** The parts of a schema that lead to its parts. */
interface Described {
  readonly type: string;
  readonly message?: unknown;
  readonly entries?: Readonly<Record<string, Described>>;
  readonly item?: Described;
  readonly items?: readonly Described[];
  readonly value?: Described;
  readonly wrapped?: Described;
  readonly pipe?: readonly Described[];
}

function valueOf(schema: Described | undefined): Described | undefined {
  return schema?.value ?? schema?.pipe?.find((step) => step.type === 'record')?.value;
}

function bare(schema: Described): Described {
  return schema.wrapped ? bare(schema.wrapped) : schema;
}
