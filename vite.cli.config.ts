import { defineConfig } from 'vite';

/** The command line as one file for Node (what only `serve --lan` needs stands beside it): no module graph, no TypeScript. */
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
