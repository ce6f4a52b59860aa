/**
 * Kills a program in the middle of its appends, again and again, and counts what it had been told was durable and
 * is not there. A kill ends the program, not the machine: what the disk itself forgets at a power cut is not tried.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { openStore } from '../../server/journal/sqlite.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

export interface KillCount {
  /** Entries acknowledged over all rounds. */
  acknowledged: number;
  lost: number;
  /** Rounds that ended in an unreadable or damaged book. */
  damaged: number;
  /** Entries in the book at the end: acknowledged ones and those whose acknowledgement was cut off. */
  present: number;
  /** Batches of which only a part is there. */
  torn: number;
}

/** Runs `rounds` kills on one book; the moment of each is drawn from `seed`. */
export async function killRounds(rounds: number, seed: number): Promise<KillCount> {
  // Bundled, so that a round costs the start of Node alone. It lies under node_modules to find its packages.
  const cache = join(root, 'node_modules', '.cache', 'kill');
  mkdirSync(cache, { recursive: true });
  const script = join(cache, `child-${process.pid}.mjs`);
  await build({
    entryPoints: [join(root, 'tests/server/kill.child.ts')],
    outfile: script,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    logLevel: 'error',
  });
  const folder = mkdtempSync(join(tmpdir(), 'kill-'));
  const file = join(folder, 'wood.book');
  const acknowledged = new Set<string>();
  const count: KillCount = { acknowledged: 0, lost: 0, damaged: 0, present: 0, torn: 0 };
  let state = seed;
  try {
    for (let round = 0; round < rounds; round++) {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
      const child = spawn(process.execPath, [script, file, String(round)], {
        stdio: ['ignore', 'pipe', 'inherit'],
      });
      for (const id of await linesUntilKilled(child, 1 + ((state >>> 8) % 60))) acknowledged.add(id);
      const store = openStore(file);
      if (!store.ok) {
        count.damaged++;
        continue;
      }
      if (store.value.integrity().length > 0) count.damaged++;
      const { entries } = await store.value.since(0);
      const ids = new Set(entries.map((entry) => entry.id));
      count.lost = [...acknowledged].filter((id) => !ids.has(id)).length;
      count.present = entries.length;
      // Batches of three: the child gives all of one batch the same words.
      const batches = new Map<string, number>();
      for (const entry of entries) batches.set(entry.words, (batches.get(entry.words) ?? 0) + 1);
      count.torn = [...batches.values()].filter((size) => size !== 3).length;
      await store.value.close();
    }
    count.acknowledged = acknowledged.size;
    return count;
  } finally {
    rmSync(folder, { recursive: true, force: true });
    rmSync(script, { force: true });
  }
}

/** The lines a child wrote until it was killed, `afterMs` after its first one. */
function linesUntilKilled(child: ChildProcess, afterMs: number): Promise<string[]> {
  return new Promise((resolve, reject) => {
    let text = '';
    let armed = false;
    child.stdout!.setEncoding('utf8');
    child.stdout!.on('data', (part: string) => {
      text += part;
      if (!armed) {
        armed = true;
        setTimeout(() => child.kill('SIGKILL'), afterMs);
      }
    });
    child.on('error', reject);
    child.on('close', (_, signal) => {
      if (signal !== 'SIGKILL') reject(new Error(`the child ended by itself: ${text.slice(-200)}`));
      // The last line may be cut: only whole lines were acknowledged.
      else resolve(text.split('\n').slice(0, -1));
    });
  });
}
