/**
 * General recognisers that are measured beside the program's own, where they are at hand: a small network through the
 * same library (STEMSAY_WHISPER names the folder of its files) and Debian's pocketsphinx with its own English model.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, join, sep } from 'node:path';
import { AutoProcessor, AutoTokenizer, env, WhisperForConditionalGeneration } from '@xenova/transformers';
import { writeWav } from '../../../server/speech/audio.ts';

export interface Recogniser {
  readonly name: string;
  /** It can be told which words alone may be said. */
  readonly takesList: boolean;
  /** The text of every clip, 16 kHz, with the milliseconds that it took. */
  hear(
    clips: readonly Float32Array[],
    words?: readonly string[],
  ): Promise<readonly { readonly text: string; readonly milliseconds: number }[]>;
}

let found: Promise<readonly Recogniser[]> | undefined;

/** Those that are at hand; none is no error. */
export function recognisers(): Promise<readonly Recogniser[]> {
  found ??= Promise.all([network(), sphinx()]).then((all) => all.filter((one) => one !== null));
  return found;
}

async function network(): Promise<Recogniser | null> {
  const folder = process.env.STEMSAY_WHISPER;
  if (!folder) return null;
  env.allowRemoteModels = false;
  env.useFSCache = false;
  env.localModelPath = dirname(folder) + sep;
  const name = basename(folder);
  const options = { quantized: true, local_files_only: true };
  const processor = await AutoProcessor.from_pretrained(name, options);
  const tokenizer = await AutoTokenizer.from_pretrained(name, options);
  const model = await WhisperForConditionalGeneration.from_pretrained(name, options);
  return {
    name,
    takesList: false,
    async hear(clips) {
      const texts: { text: string; milliseconds: number }[] = [];
      for (const samples of clips) {
        const before = performance.now();
        const { input_features } = await processor(samples);
        const tokens = await model.generate(input_features, { max_new_tokens: 60 });
        const said: string = tokenizer.decode(tokens[0], { skip_special_tokens: true });
        // "[BLANK_AUDIO]", "(wind blowing)": it says what it hears beside words, or that it hears none.
        const text = said.replace(/\[[^\]]*\]|\([^)]*\)/g, '');
        texts.push({ text, milliseconds: performance.now() - before });
      }
      return texts;
    },
  };
}

const sphinxModel = '/usr/share/pocketsphinx/model/en-us';

/** Debian packages pocketsphinx and pocketsphinx-en-us. */
async function sphinx(): Promise<Recogniser | null> {
  if (!existsSync(join(sphinxModel, 'en-us.lm.bin')) || !existsSync('/usr/bin/pocketsphinx_batch'))
    return null;
  return {
    name: 'pocketsphinx',
    takesList: true,
    async hear(clips, words) {
      const folder = mkdtempSync(join(tmpdir(), 'sphinx-'));
      try {
        for (const [i, samples] of clips.entries())
          writeFileSync(join(folder, `c${i}.wav`), writeWav(samples));
        writeFileSync(join(folder, 'list'), clips.map((_, i) => `c${i}\n`).join(''));
        const language = ['-lm', join(sphinxModel, 'en-us.lm.bin')];
        if (words) {
          const known = new Set(
            readFileSync(join(sphinxModel, 'cmudict-en-us.dict'), 'utf8')
              .split('\n')
              .map((line) => line.split(' ')[0]),
          );
          const list = words.filter((word) => known.has(word)).join(' | ');
          writeFileSync(
            join(folder, 'words.gram'),
            `#JSGF V1.0;\ngrammar words;\npublic <word> = ${list};\n`,
          );
          language.splice(0, 2, '-jsgf', join(folder, 'words.gram'));
        }
        const before = performance.now();
        execFileSync(
          'pocketsphinx_batch',
          [
            ...['-hmm', join(sphinxModel, 'en-us'), '-dict', join(sphinxModel, 'cmudict-en-us.dict')],
            ...['-ctl', join(folder, 'list'), '-cepdir', folder, '-cepext', '.wav'],
            // Sound instead of features, behind the 44 bytes of a WAV file's head.
            ...['-adcin', 'yes', '-adchdr', '44', '-hyp', join(folder, 'heard'), ...language],
          ],
          { stdio: 'ignore' },
        );
        const milliseconds = (performance.now() - before) / clips.length;
        // "go forward ten meters (c0 -7210)": one line a clip, in the order of the list.
        return readFileSync(join(folder, 'heard'), 'utf8')
          .split('\n')
          .slice(0, clips.length)
          .map((line) => ({ text: line.replace(/\s*\(c\d+ -?\d+\)\s*$/, ''), milliseconds }));
      } finally {
        rmSync(folder, { recursive: true, force: true });
      }
    },
  };
}
