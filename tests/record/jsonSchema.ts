/** The published JSON Schema of the record, made from the schemas of the program. */

import { toJsonSchemaDefs } from '@valibot/to-json-schema';
import { format } from 'prettier';
import { heardSchema, referenceSchema } from '../../src/record/heardSchema.ts';
import { PIECE_SCHEMA, SCHEMAS } from '../../src/record/schemas.ts';
import { RECORD_VERSION } from '../../src/record/types.ts';

export const SCHEMA_FILE = new URL('../../src/record/record.schema.json', import.meta.url);

/** Its text, laid out as the project's other files are. */
export async function schemaText(): Promise<string> {
  const definitions = { ...SCHEMAS, pieces: PIECE_SCHEMA, heard: heardSchema, handReference: referenceSchema };
  const schema = {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    $id: `urn:evenfall:record:${RECORD_VERSION}`,
    title: `evenfall.record/${RECORD_VERSION}`,
    description:
      'What is kept, one definition a kind. Ids are opaque; times ISO 8601 in UTC; lengths millimetres; frames count samples; what is not known is null. Samples of 16 bit are lists of whole numbers here. A program that finds a higher recordVersion than its own refuses the thing and changes nothing. Fields that are not named here are let be. The program also asks that keys follow each other (lowest, breaks, highest) and that gaps lie within their take.',
    $defs: toJsonSchemaDefs(definitions, {
      target: 'draft-2020-12',
      ignoreActions: ['readonly', 'finite'],
      typeMode: 'output',
      overrideSchema: ({ valibotSchema }) =>
        valibotSchema.type === 'custom'
          ? { type: 'array', items: { type: 'integer', minimum: -32768, maximum: 32767 } }
          : null,
    }),
  };
  return format(JSON.stringify(schema), { parser: 'json', singleQuote: true, printWidth: 120 });
}
