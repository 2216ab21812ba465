/** The published JSON Schema of a visit's file, made from the schemas of the record. */

import { toJsonSchemaDefs } from '@valibot/to-json-schema';
import { format } from 'prettier';
import { heardSchema, referenceSchema } from '../../src/record/heardSchema.ts';
import { SCHEMAS } from '../../src/record/schemas.ts';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { VISIT_SCHEMA } from '../../src/report/visitFile.ts';

export const SCHEMA_FILE = new URL('../../src/report/visit.schema.json', import.meta.url);

/** Its text, laid out as the project's other files are. */
export async function schemaText(): Promise<string> {
  const { pianos, visits, rounds, takes, adjustments, gauges, marks, hours, references } = SCHEMAS;
  const definitions = {
    ...{ pianos, visits, rounds, takes, adjustments, gauges, marks, hours, references },
    heard: heardSchema,
    handReference: referenceSchema,
  };
  const one = (name: keyof typeof definitions) => ({ $ref: `#/$defs/${name}` });
  const list = (name: keyof typeof definitions) => ({ type: 'array', items: one(name) });
  const number = { type: 'integer', minimum: 1 };
  const document = (schema: string) => ({
    type: 'object',
    properties: { schema: { const: schema } },
    required: ['schema', 'analysisVersion'],
  });
  const schema = {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    $id: `urn:${VISIT_SCHEMA.replaceAll('.', ':').replace('/', ':')}`,
    title: VISIT_SCHEMA,
    description: `One visit: all that is kept of it (version ${RECORD_VERSION} of the record), its rounds as judged and compared. Ids are opaque; times ISO 8601 in UTC; lengths millimetres; what is not known is null. Sound is not in it, so takes have no pieces. The documents are those of analysis.schema.json and comparison.schema.json. Fields that are not named here are let be.`,
    type: 'object',
    properties: {
      schema: { const: VISIT_SCHEMA },
      invented: { type: 'boolean', description: 'The piano and its sound are invented.' },
      piano: one('pianos'),
      visit: one('visits'),
      rounds: list('rounds'),
      takes: list('takes'),
      adjustments: list('adjustments'),
      gauges: list('gauges'),
      marks: list('marks'),
      hours: list('hours'),
      reference: { anyOf: [one('references'), { type: 'null' }] },
      judged: {
        type: 'array',
        items: {
          type: 'object',
          properties: { number, document: document('evenfall.analysis/1') },
          required: ['number', 'document'],
        },
      },
      compared: {
        type: 'array',
        items: {
          type: 'object',
          properties: { before: number, after: number, document: document('evenfall.comparison/1') },
          required: ['before', 'after', 'document'],
        },
      },
      remarks: { type: 'array', items: { type: 'string' } },
    },
    required: [
      ...['schema', 'invented', 'piano', 'visit', 'rounds', 'takes', 'adjustments', 'gauges', 'marks', 'hours'],
      ...['reference', 'judged', 'compared', 'remarks'],
    ],
    $defs: toJsonSchemaDefs(definitions, {
      target: 'draft-2020-12',
      ignoreActions: ['readonly', 'finite'],
      typeMode: 'output',
    }),
  };
  return format(JSON.stringify(schema), { parser: 'json', singleQuote: true, printWidth: 120 });
}
