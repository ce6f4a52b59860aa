/** A note as slots, path and value, so that a note with one wrong number counts as one slot wrong. */
import type { Note } from '../../../shared/note/note.ts';

function slotsOf(value: unknown, path = ''): [string, string][] {
  if (value === null || typeof value !== 'object') return [[path, String(value)]];
  return Object.entries(value).flatMap(([key, inner]) =>
    slotsOf(inner, path === '' ? key : `${path}.${key}`),
  );
}

/**
 * Slots of the wanted note that were heard otherwise or not at all, and slots heard that are not in it.
 *
 * @example slotErrors({ kind: 'next' }, { kind: 'again' }) // { wrong: 1, all: 1 }
 */
export function slotErrors(wanted: Note, heard: Note | undefined): { wrong: number; all: number } {
  const want = new Map(slotsOf(wanted));
  const got = new Map(heard === undefined ? [] : slotsOf(heard));
  let wrong = 0;
  for (const [path, value] of want) if (got.get(path) !== value) wrong++;
  for (const path of got.keys()) if (!want.has(path)) wrong++;
  return { wrong: Math.min(wrong, want.size), all: want.size };
}
