import { defineConfig } from 'vite';

/** The command line as one file for Node: no start-up cost of a module graph, no TypeScript at run time. */
export default defineConfig({
  publicDir: false,
  ssr: { noExternal: true },
  build: {
    ssr: 'src/cli/main.ts',
    outDir: 'dist/cli',
    target: 'node20',
    minify: false,
    rollupOptions: { output: { entryFileNames: 'main.js' } },
  },
});
