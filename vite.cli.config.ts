import { defineConfig } from 'vite';

/**
 * The command line as files for Node that need nothing but each other: the program, the thread that hears recordings, and
 * what they share. (What only `serve --lan` needs stands beside them.)
 */
export default defineConfig({
  publicDir: false,
  ssr: { noExternal: true },
  build: {
    ssr: true,
    outDir: 'dist/cli',
    target: 'node20',
    minify: false,
    rollupOptions: {
      input: { main: 'src/cli/main.ts', hear: 'src/cli/hear.worker.ts' },
      output: { entryFileNames: '[name].js' },
    },
  },
});
