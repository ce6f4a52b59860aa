/** The project's own clips alone and two in one breath, with what each may mean: 0.3 s of rest between them. */
import { readFileSync } from 'node:fs';
import type { Reader } from '../../grammar/reading/exact.ts';
import { readWav } from '../../server/speech/audio.ts';
import { notesKey } from '../../shared/note/note-key.ts';

export interface SpokenNotes {
  readonly text: string;
  readonly samples: Float32Array;
  /** `notesKey` of every meaning of the words. */
  readonly meant: ReadonlySet<string>;
}

const rest = new Float32Array(0.3 * 16_000);

/** Every clip whose words are read, alone and before another one. */
export function spokenNotes(reader: Reader): { alone: SpokenNotes[]; joined: SpokenNotes[] } {
  const folder = new URL('../clips/', import.meta.url);
  const alone: SpokenNotes[] = [];
  for (const line of readFileSync(new URL('clips.jsonl', folder), 'utf8').trim().split('\n')) {
    const { file, text } = JSON.parse(line) as { file: string; text: string };
    const sound = readWav(readFileSync(new URL(file.split('/').at(-1)!, folder)));
    if (!sound.ok) throw new Error(`${file}: ${sound.error.message}`);
    const meant = meaningsOf(reader, text);
    if (meant.length > 0) alone.push({ text, samples: sound.value.samples, meant: new Set(meant) });
  }
  const joined = alone.map((first, i) => {
    const second = alone[(7 * i + 3) % alone.length]!;
    const text = `${first.text}, ${second.text}`;
    const pairs = [...first.meant].flatMap((one) => [...second.meant].map((two) => `${one},${two}`));
    return {
      text,
      samples: Float32Array.from([...first.samples, ...rest, ...second.samples]),
      // "Red oak sixteen" and "twelve paces" are one note, too.
      meant: new Set([...pairs, ...meaningsOf(reader, text)]),
    };
  });
  return { alone, joined };
}

function meaningsOf(reader: Reader, text: string): string[] {
  const read = reader.read(text);
  return read.ok ? read.value.map(({ notes }) => notesKey(notes)) : [];
}
