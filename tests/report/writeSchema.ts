/** Writes the published JSON Schema of a visit's file anew: `npx tsx tests/report/writeSchema.ts`. */

import { writeFileSync } from 'node:fs';
import { SCHEMA_FILE, schemaText } from './jsonSchema.ts';

writeFileSync(SCHEMA_FILE, await schemaText());
