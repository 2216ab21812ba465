import js from '@eslint/js';
import tseslint from 'typescript-eslint';
import { readFileSync } from 'node:fs';

const house = JSON.parse(readFileSync(new URL('./rooms.json', import.meta.url), 'utf8'));
const allRooms = Object.keys(house.rooms);
const allPackages = [...new Set(Object.values(house.rooms).flatMap((room) => room.packages))];

/** The import fence of one room, as lint rule: what it may not import, by path and by package. */
function fence(room) {
  const { may, packages } = house.rooms[room];
  const forbidden = allRooms.filter((other) => other !== room && !may.includes(other));
  const typesOnly = house.typesOnly.filter(([from]) => from === room).map(([, to]) => to);
  const path = (name) => (name === 'units' ? '/units\\.ts$' : `\\.\\./(src/)?${name}/`);
  const files =
    room === 'units' ? ['src/units.ts'] : room === 'worklets' ? ['worklets/**/*.ts'] : [`src/${room}/**/*.{ts,tsx}`];
  return {
    files,
    rules: {
      '@typescript-eslint/no-restricted-imports': [
        'error',
        {
          patterns: [
            ...forbidden.map((name) => ({
              regex: path(name),
              message: `${room} may not import ${name} (rooms.json).`,
            })),
            ...typesOnly.map((name) => ({
              regex: path(name),
              allowTypeImports: true,
              message: `${room} may import only types of ${name} (rooms.json).`,
            })),
            ...allPackages
              .filter((name) => !packages.includes(name))
              .map((name) => ({ regex: `^${name}(/|$)`, message: `${room} may not use ${name} (rooms.json).` })),
          ],
        },
      ],
    },
  };
}

export default tseslint.config(
  { ignores: ['dist', '.tsbuild', 'node_modules', 'public', '.cache'] },
  js.configs.recommended,
  ...tseslint.configs.strict,
  {
    rules: {
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/consistent-type-imports': 'error',
      'no-console': 'error',
    },
  },
  ...allRooms.map(fence),
  {
    files: house.environments.pure.map((room) => (room === 'units' ? 'src/units.ts' : `src/${room}/**/*.ts`)),
    rules: {
      'no-restricted-globals': [
        'error',
        'window',
        'document',
        'process',
        'performance',
        'setTimeout',
        'fetch',
        'Buffer',
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'Pass a seeded random source in.' },
        { object: 'Date', property: 'now', message: 'Pure rooms have no clock.' },
      ],
    },
  },
  { files: ['tests/**', 'samples/**', 'docs/*.ts', 'src/cli/**', 'bin/**'], rules: { 'no-console': 'off' } },
  {
    files: ['**/*.js', 'tests/**', 'samples/**', 'docs/*.ts', 'bin/**', '.ci/**'],
    languageOptions: { globals: { process: 'readonly', console: 'readonly', URL: 'readonly' } },
  },
);
