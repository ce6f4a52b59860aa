import { defineConfig } from 'vitest/config';

/** `--mode slow` runs what takes minutes (`npm run test:slow`), everything else the suite of `npm test`. */
export default defineConfig(({ mode }) => ({
  test:
    mode === 'slow'
      ? { include: ['tests/slow/**/*.test.ts'] }
      : {
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/slow/**', 'node_modules/**'],
          // Files that run in one process share its modules: the language is compiled once each, not once a file.
          isolate: false,
          // Many wait for processes of their own: no core need idle meanwhile.
          maxWorkers: '100%',
          // A machine that does other things meanwhile is slow, not wrong: one limit for all, far above what any needs.
          testTimeout: 240_000,
          hookTimeout: 240_000,
          expect: { poll: { timeout: 120_000, interval: 20 } },
        },
}));
