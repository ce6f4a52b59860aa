/** The learned reader of this program, read from its file at the first note that nobody else reads. */
import { readFileSync } from 'node:fs';
import { LearnedReader } from '../../grammar/reading/learned/learned-reader.ts';
import { readWeights } from '../../grammar/reading/learned/weights.ts';
import { places } from '../program/places.ts';

let made: LearnedReader | null | undefined;

/** Undefined where its file is missing or damaged: the others read on without it. */
export function learnedReader(): LearnedReader | undefined {
  made ??= opened();
  return made ?? undefined;
}

function opened(): LearnedReader | null {
  try {
    const weights = readWeights(readFileSync(places.plainForms));
    if (weights.ok) return new LearnedReader(weights.value);
    console.error(weights.error);
  } catch (cause) {
    console.error(`The learned reader is missing: ${cause instanceof Error ? cause.message : String(cause)}`);
  }
  return null;
}
