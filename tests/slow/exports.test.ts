/** The exports at length: ten thousand samples by independent readers, and a recogniser that reads JSGF. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { runInNewContext } from 'node:vm';
import { describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { toJsgf, toSrgsAbnf, toSrgsXml } from '../../grammar/writing/exports.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { noteScript } from '../../grammar/writing/sisr.ts';
import { seeded } from '../../shared/core/random.ts';
import type { Note } from '../../shared/note/note.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import {
  checkSrgs,
  type Expansion,
  jsgfTags,
  matches,
  parseGrammar,
  parseXml,
  sisrTags,
} from '../grammar/exports.ts';

const trees = parseDescription(grammar);
const noteOf = runInNewContext(`${noteScript}; note`) as (tags: readonly string[]) => Note;

describe('ten thousand sentences mean the same', () => {
  const sampler = createSampler(trees);
  const random = seeded(4);
  const samples = Array.from({ length: 10_000 }, () => sampler.sample(random));
  test.each([
    ['SRGS XML', checkSrgs(parseXml(toSrgsXml(trees))).rules, sisrTags],
    ['SRGS ABNF', parseGrammar(toSrgsAbnf(trees), 'abnf'), sisrTags],
    ['JSGF', parseGrammar(toJsgf(trees), 'jsgf'), jsgfTags],
  ] as const)(
    'in %s',
    (_, rules, tagsOf) => {
      const lost = samples.filter(
        ({ words, note }) =>
          !matches(rules, 'note', words.split(' ')).some(
            (tags) => noteKey(noteOf(tagsOf(tags))) === noteKey(note),
          ),
      );
      expect(lost.map(({ words }) => words)).toEqual([]);
    },
    600_000,
  );
});

function wordsOf(expansion: Expansion, into: Set<string>): void {
  if (expansion.is === 'token') into.add(expansion.word);
  else if (expansion.is === 'repeat') wordsOf(expansion.item, into);
  else if (expansion.is === 'sequence' || expansion.is === 'choice') {
    for (const item of expansion.items) wordsOf(item, into);
  }
}

/** A whole second of silence as 16-bit WAV at 16 kHz. */
function silence(): Buffer {
  const wav = Buffer.alloc(44 + 32_000);
  wav.write('RIFF', 0);
  wav.writeUInt32LE(36 + 32_000, 4);
  wav.write('WAVEfmt ', 8);
  wav.writeUInt32LE(16, 16);
  wav.writeUInt16LE(1, 20);
  wav.writeUInt16LE(1, 22);
  wav.writeUInt32LE(16_000, 24);
  wav.writeUInt32LE(32_000, 28);
  wav.writeUInt16LE(2, 32);
  wav.writeUInt16LE(16, 34);
  wav.write('data', 36);
  wav.writeUInt32LE(32_000, 40);
  return wav;
}

const model = '/usr/share/pocketsphinx/model/en-us/en-us';
/** Debian's pocketsphinx 0.8: a recogniser with a JSGF reader of its own. */
const there = existsSync(model) && spawnSync('pocketsphinx_continuous', ['-h']).error === undefined;

test.skipIf(!there)(
  'pocketsphinx builds its network from the JSGF export and refuses a broken one',
  () => {
    const folder = mkdtempSync(join(tmpdir(), 'jsgf-'));
    const file = (name: string): string => join(folder, name);
    try {
      const jsgf = toJsgf(trees);
      const words = new Set<string>();
      for (const rule of parseGrammar(jsgf, 'jsgf').values()) wordsOf(rule, words);
      // Any sound will do for a word: only the grammar is tried here.
      writeFileSync(
        file('words.dict'),
        [...words]
          .sort()
          .map((word) => `${word} AH\n`)
          .join(''),
      );
      writeFileSync(file('silence.wav'), silence());
      const load = (text: string): { status: number | null; log: string } => {
        writeFileSync(file('note.jsgf'), text);
        const { status } = spawnSync('pocketsphinx_continuous', [
          ...['-infile', file('silence.wav'), '-hmm', model, '-dict', file('words.dict')],
          ...['-jsgf', file('note.jsgf'), '-logfn', file('log')],
        ]);
        return { status, log: readFileSync(file('log'), 'utf8') };
      };
      const good = load(jsgf);
      expect(good.log).not.toContain('ERROR');
      expect(good.log).toMatch(/HMM nodes in lextree/);
      expect(good.status).toBe(0);
      expect(load(jsgf.replace('[', '(')).log).toContain('ERROR');
    } finally {
      rmSync(folder, { recursive: true });
    }
  },
  300_000,
);
