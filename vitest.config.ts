import { defineConfig } from 'vitest/config';

/** Lines that the fast tests run, percent at least by folder. The page in a browser and processes of their own count nothing. */
const floors = {
  'shared/book': 95,
  'shared/core': 98,
  'shared/dialogue': 85,
  'shared/land': 97,
  'shared/measuring': 97,
  'shared/note': 99,
  'shared/report': 94,
  'shared/sound': 45,
  'shared/totals': 98,
  'shared/wording': 90,
  'grammar/automaton': 96,
  'grammar/decoding': 48,
  'grammar/description': 82,
  'grammar/pronunciation': 95,
  'grammar/reading': 92,
  'grammar/writing': 78,
  'server/access': 94,
  'server/commands': 65,
  'server/desk': 44,
  'server/http': 52,
  'server/journal': 45,
  'client/conversation': 38,
  'client/ear': 44,
  'client/journal': 76,
};

/** With `--coverage`. */
const coverage = {
  provider: 'v8' as const,
  include: ['shared/**/*.ts', 'grammar/**/*.ts', 'server/**/*.ts', 'client/**/*.ts'],
  exclude: ['tests/**'],
  reporter: ['text-summary'],
  reportOnFailure: true,
  thresholds: Object.fromEntries(
    Object.entries(floors).map(([folder, lines]) => [`${folder}/**`, { lines }]),
  ),
};

/** A machine that does other things meanwhile is slow, not wrong: one limit for all, far above what most need. */
const limits = {
  testTimeout: 240_000,
  hookTimeout: 240_000,
  expect: { poll: { timeout: 120_000, interval: 20 } },
};

/** `--mode slow` runs what takes minutes (`npm run test:slow`), everything else the suite of `npm test`. */
export default defineConfig(({ mode }) => ({
  test:
    mode === 'slow'
      ? { include: ['tests/slow/**/*.test.ts'], ...limits }
      : {
          include: ['tests/**/*.test.ts'],
          exclude: ['tests/slow/**', 'node_modules/**'],
          // Files that run in one process share its modules: the language is compiled once each, not once a file.
          isolate: false,
          // Many wait for processes of their own: no core need idle meanwhile.
          maxWorkers: '100%',
          ...limits,
          coverage,
        },
}));
