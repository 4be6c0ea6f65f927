import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vitest/config'

// The API a developer's `npm run dev` talks to; `ebbline serve` listens there by default.
const api = process.env.EBBLINE_DEV_API ?? 'http://127.0.0.1:8080'

export default defineConfig({
  plugins: [svelte()],
  build: {
    outDir: 'dist',
    // dist/.keep is committed so that Go can embed the folder before the first build;
    // scripts/clean.mjs empties everything but that file.
    emptyOutDir: false,
    target: 'es2022',
    assetsInlineLimit: 0,
    // What others wrote and is built in, with their licenses: served as /licenses.md.
    license: { fileName: 'licenses.md' },
    rollupOptions: {
      // The service worker keeps its name: browsers look under it for a newer one.
      input: { index: 'index.html', offline: 'src/offline.ts' },
      output: { entryFileNames: (chunk) => (chunk.name === 'offline' ? 'offline.js' : 'assets/[name]-[hash].js') },
    },
  },
  server: { proxy: { '/api': { target: api, changeOrigin: false } } },
  // Svelte's browser build, not its server build, under vitest.
  resolve: process.env.VITEST ? { conditions: ['browser'] } : undefined,
  test: {
    environment: 'happy-dom',
    include: ['src/**/*.test.ts'],
    setupFiles: ['src/lib/testing.setup.ts'],
  },
})
