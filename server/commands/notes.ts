/** The commands that take notes, typed (`note`) or recorded (`hear`), and print one answer for each. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { createInterface } from 'node:readline';
import type { Answer, Told } from '../../shared/dialogue/types.ts';
import type { Desk } from '../desk/desk.ts';
import { readWav, writeWav } from '../speech/audio.ts';
import {
  bookNamed,
  fileText,
  openDesk,
  RefusedError,
  reasonOf,
  type Terminal,
  textOfFile,
  UsageError,
  type Values,
  write,
} from './terminal.ts';

/** One note from the arguments, those of a written session, or one a line from standard input. */
export async function note(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const desk = await openDesk(values, terminal);
  const answers = new Answers(values, terminal);
  try {
    if (values.list !== undefined) {
      if (rest.length > 0) throw new UsageError('Expected either words or --list FILE, found both.');
      for (const words of notesOf(await fileText(values.list))) {
        if (!values.json) await write(terminal.stdout, `${words}\n  `);
        await answers.give(await desk.note(words));
      }
    } else if (rest.length > 0) {
      await answers.give(await desk.note(rest.join(' ')));
    } else {
      for await (const line of createInterface({ input: terminal.stdin }))
        await answers.give(await desk.note(line));
    }
  } finally {
    await desk.close();
  }
  return answers.status;
}

/** The edge of a stand or a stratum from a file; the question after it stays open for a note that answers it. */
export async function edge(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  bookNamed(values, 'edge');
  const [path, ...more] = rest;
  if (path === undefined || more.length > 0) throw new UsageError('Expected one GeoJSON file with an edge.');
  const { readEdgeFile } = await import('../../shared/land/edge-file.ts');
  const read = readEdgeFile(await fileText(path));
  if (!read.ok) throw new RefusedError(`${path}: ${read.error} Nothing was taken in.`);
  const { parts, notes } = read.value;
  const desk = await openDesk(values, terminal);
  const answers = new Answers(values, terminal);
  try {
    // The stand is taken in hand first, as it would be by voice.
    for (const words of [
      values.stand && `stand ${values.stand}`,
      values.stratum && `stratum ${values.stratum}`,
    ]) {
      if (words) await answers.give(await desk.note(words));
    }
    if (answers.status === 0) {
      if (!values.json) for (const line of notes) await write(terminal.stdout, `${line}\n`);
      await answers.give(
        await desk.edge({ kind: 'traverse', op: 'bring' }, `edge from ${basename(path)}`, parts),
      );
    }
  } finally {
    await desk.close();
  }
  return answers.status;
}

/** The notes of a written session, which may hold remarks and earlier answers. */
const notesOf = (text: string): string[] => text.split(/\r?\n/).filter((line) => /^[^#\s]/.test(line));

/** Clips named in the arguments, then those of a list. */
export async function hear(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const paths = [...rest];
  if (values.list !== undefined) {
    const text = values.list === '-' ? await textOfFile(terminal.stdin) : await fileText(values.list);
    paths.push(...text.split(/\r?\n/).filter((line) => line.trim() !== ''));
  }
  if (paths.length === 0) throw new UsageError('Expected WAV files, or --list FILE with their paths.');
  const desk = await openDesk(values, terminal, { hearing: terminal.hearing() });
  const answers = new Answers(values, terminal, paths.length);
  try {
    for (const path of paths) await answers.give(await hearFile(desk, path));
  } finally {
    await desk.close();
  }
  return answers.status;
}

/** A file that is no clip is an answer like any other: the rest of the list is still heard. */
async function hearFile(desk: Desk, path: string): Promise<Told> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (cause) {
    return desk.refuse(`${path} cannot be read: ${reasonOf(cause)}.`);
  }
  const sound = readWav(bytes);
  if (!sound.ok) return desk.refuse(`${path}: ${sound.error.message}`);
  return desk.sound(sound.value, writeWav(sound.value.samples));
}

/** Prints answers one by one, remembers whether one was refused, and tells how far a long list is. */
class Answers {
  status = 0;
  #given = 0;
  #toldAt: number;

  constructor(
    readonly values: Values,
    readonly terminal: Terminal,
    readonly total = 0,
  ) {
    this.#toldAt = terminal.now();
  }

  async give({ answer }: Told): Promise<void> {
    if (answer.state === 'refused') this.status = 1;
    const text = this.values.json ? JSON.stringify(answer) : plainAnswer(answer, this.total > 0);
    await write(this.terminal.stdout, `${text}\n`);
    this.#given++;
    const now = this.terminal.now();
    if (this.total >= 20 && (now - this.#toldAt >= 2000 || this.#given === this.total)) {
      this.#toldAt = now;
      this.terminal.stderr.write(`${this.#given} of ${this.total} heard\n`);
    }
  }
}

/** One line: the reply, and for a clip the words that were heard before it. */
function plainAnswer(answer: Answer, heard: boolean): string {
  const reply = answer.reply.replaceAll('\n', ' ');
  return heard && answer.words !== '' ? `${answer.words} -> ${reply}` : reply;
}
