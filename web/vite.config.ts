import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const server = process.env.TREEN_URL ?? 'http://127.0.0.1:7117';

export default defineConfig({
  plugins: [svelte()],
  resolve: {
    alias: { '@': here('./src'), '@fonts': here('../assets/fonts'), '@cases': here('../cases') },
    // Component tests run in Node; they need Svelte's browser half.
    conditions: process.env.VITEST ? ['browser'] : undefined,
  },
  server: { proxy: { '/api': { target: server, changeOrigin: false } }, fs: { allow: ['..'] } },
  build: { target: 'es2022', assetsInlineLimit: 0, reportCompressedSize: false },
  test: { include: ['src/**/*.test.ts'], environment: 'jsdom' },
});
