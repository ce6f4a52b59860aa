/**
 * The compiled grammar, kept from one start to the next: compiling takes about a second, reading the kept result a few
 * milliseconds. What is kept is found again only by the very description and compiler that made it.
 */
import { createHash } from 'node:crypto';
import {
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { compile } from '../../grammar/automaton/compile.ts';
import { deserialize, serialize } from '../../grammar/automaton/serialize.ts';
import { withLanguageModel } from '../../grammar/decoding/language-model.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import type { Description } from '../../grammar/description/model.ts';
import { places, root, shipped } from '../program/places.ts';

/** In a built program, the digest of the compiler's text, which is not there any more. */
declare const COMPILER_DIGEST: string | undefined;

const ending = '.automaton';
/** A book that taught words has its own; older ones make room. */
const mostKept = 8;

/**
 * The automaton of a description, compiled at the first call on this machine. Never fails for the sake of the cache:
 * a folder that cannot be written or a spoiled file only costs the second.
 */
export function keptAutomaton(description: Description = grammar, folder: string = places.kept): Automaton {
  const name = `${keyOf(description)}${ending}`;
  const file = join(folder, name);
  const kept = read(file) ?? (shipped === null ? null : read(join(shipped, name)));
  if (kept !== null) return kept;
  const automaton = withLanguageModel(compile(description), description);
  try {
    keep(folder, file, automaton);
  } catch {}
  return automaton;
}

/** The description as data and the compiler as text. */
function keyOf(description: Description): string {
  compiler ??= typeof COMPILER_DIGEST === 'string' ? COMPILER_DIGEST : compilerDigest();
  return createHash('sha256').update(JSON.stringify(description)).update(compiler).digest('hex').slice(0, 32);
}

let compiler: string | undefined;

/** What the compiler is, as text; it stays the same while the program runs. */
export function compilerDigest(): string {
  const hash = createHash('sha256');
  const sources = join(root, 'grammar');
  for (const name of readdirSync(sources, { recursive: true, encoding: 'utf8' }).sort()) {
    if (name.endsWith('.ts')) hash.update(name).update(readFileSync(join(sources, name)));
  }
  return hash.digest('hex');
}

const digestOf = (bytes: Uint8Array): Buffer => createHash('sha256').update(bytes).digest();
const digestLength = 32;

function read(file: string): Automaton | null {
  try {
    const bytes = readFileSync(file);
    const body = bytes.subarray(digestLength);
    if (!digestOf(body).equals(bytes.subarray(0, digestLength))) return null;
    const automaton = deserialize(body);
    if (automaton.ok) touch(file);
    return automaton.ok ? automaton.value : null;
  } catch {
    return null;
  }
}

/** What is in use makes no room for others. */
function touch(file: string): void {
  try {
    const now = new Date();
    utimesSync(file, now, now);
  } catch {}
}

function keep(folder: string, file: string, automaton: Automaton): void {
  mkdirSync(folder, { recursive: true });
  const body = serialize(automaton);
  // Renamed when whole: two programs that start at once never see half a file.
  const part = `${file}.${process.pid}`;
  writeFileSync(part, Buffer.concat([digestOf(body), body]));
  renameSync(part, file);
  const kept = readdirSync(folder)
    .filter((name) => name.endsWith(ending))
    .map((name) => ({ name, time: statSync(join(folder, name)).mtimeMs }))
    .sort((a, b) => b.time - a.time);
  for (const { name } of kept.slice(mostKept)) rmSync(join(folder, name), { force: true });
}
