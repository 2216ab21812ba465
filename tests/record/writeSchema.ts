/** Writes the published JSON Schema of the record anew: `npx tsx tests/record/writeSchema.ts`. */

import { writeFileSync } from 'node:fs';
import { SCHEMA_FILE, schemaText } from './jsonSchema.ts';

writeFileSync(SCHEMA_FILE, await schemaText());
