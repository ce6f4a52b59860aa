import { defineConfig } from 'vitest/config';

/** `npm run test:page`: the page in a real browser. Slow, and it needs Chromium: `CHROMIUM` names it. */
export default defineConfig({
  test: {
    include: ['tests/page/**/*.page.ts'],
    fileParallelism: false,
    testTimeout: 240_000,
    hookTimeout: 240_000,
    expect: { poll: { timeout: 120_000, interval: 50 } },
  },
});
