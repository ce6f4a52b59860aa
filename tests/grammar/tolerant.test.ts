import { describe, expect, it } from 'vitest';
import { normalise } from '../../grammar/description/normalise.ts';
import { phonesOf } from '../../grammar/pronunciation/lexicon.ts';
import { decide } from '../../grammar/reading/decide.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { bySound, reader as exact, trees } from '../support/language.ts';

const { graph, tolerant: reader } = bySound();

/** The note that these words mean word for word. */
function meaning(words: string): string {
  const read = exact.read(words);
  if (!read.ok) throw new Error(`not a sentence of the grammar: ${words}`);
  return noteKey(read.value[0]!.notes[0]);
}

describe('a sentence that is nearly right is read as it was meant', () => {
  it.each([
    // Homophones.
    ['ate paces, I five and a half', 'eight paces eye five and a half'],
    ['eight paces eye five and a half', 'eight paces eye five and a half'],
    ['red oak for teen inches', 'red oak fourteen inches'],
    ['plot won', 'plot one'],
    ['red oak fourteen inches, too logs', 'red oak fourteen inches two logs'],
    ['beach ten inches', 'beech ten inches'],
    // Splits and merges.
    ['for tea two feet, eye five', 'forty two feet eye five'],
    ['eightpaces eye five and a half', 'eight paces eye five and a half'],
    ['twenty to feet, eye height five and a half', 'twenty two feet eye height five and a half'],
    // Fillers.
    ['um, eight paces, uh, eye five and a half', 'eight paces eye five and a half'],
    // Misspellings.
    ['ateen paces', 'eighteen paces'],
    ['dougals fir fourteen inches', 'douglas fir fourteen inches'],
    ['sugar mapel twelve inches', 'sugar maple twelve inches'],
    ['stick spans sevnty feet', 'stick spans seventy feet'],
    // A word said twice.
    ['how how many trees', 'how many trees'],
    // One slipped word.
    ['eight places eye five', 'eight paces eye five'],
  ])('%s', (written, meant) => {
    const readings = reader.read(normalise(written));
    expect(noteKey(readings[0]!.notes[0])).toBe(meaning(meant));
    expect(decide(readings).kind).toBe('keep');
  });

  it.each([
    // One word too few or too many, or one known word for another.
    ['eight paces sideways eye five and a half', 'eight paces eye five and a half'],
    ['leave it alone', 'leave it'],
    ['i', 'aye'],
  ])('asks whether "%s" is "%s", and never keeps it in silence', (written, meant) => {
    const decision = decide(reader.read(written));
    if (decision.kind !== 'ask') throw new Error(decision.kind);
    expect(noteKey(decision.readings[0].notes[0])).toBe(meaning(meant));
  });

  it('asks rather than keeps where a word may as well be missing ("next three")', () => {
    const decision = decide(reader.read('next three'));
    if (decision.kind !== 'ask') throw new Error(decision.kind);
    expect(noteKey(decision.readings[0].notes[0])).toBe(meaning('next tree'));
  });

  it('asks when two numbers are as likely, and never keeps one of them', () => {
    const said = [...'S IH K S T'.split(' '), 'IY', 'N', 'P', 'EY', 'S', 'IH', 'Z'].join(' ');
    // Between "sixty" and "sixteen" there is one N; half a one is heard as another nasal.
    const readings = reader.readPhones(phonesOf(said.replace('IY N', 'IY M')));
    const decision = decide(readings);
    expect(decision.kind === 'keep' && noteKey(decision.reading.notes[0]) === meaning('sixty paces')).toBe(
      false,
    );
  });

  it('asks for a number that was left out instead of making one up', () => {
    const decision = decide(reader.read('eight paces eye and a half'));
    expect(decision).toMatchObject({ kind: 'missing', at: 3 });
    // Nor is a number that was said passed over.
    expect(decide(reader.read('eight paces twelve eye five')).kind).not.toBe('keep');
    expect(decide(reader.read('my name is'))).toMatchObject({
      kind: 'missing',
      at: 3,
      words: [graph.automaton.words[0]],
    });
  });

  it('refuses what is no note', () => {
    for (const talk of [
      'did you see the game last night',
      'we should go home before it rains',
      'the dog ran down to the water again',
      'where did you put my sandwich',
      'zzz',
    ])
      expect(decide(reader.read(talk)).kind, talk).not.toBe('keep');
    expect(reader.read('')).toEqual([]);
  });

  it('keeps nothing of strings of random words and letters unless it reads word for word or by its sound', () => {
    const random = seeded(41);
    const pick = (n: number) => Math.floor(random() * n);
    const { words } = graph.automaton;
    for (let i = 0; i < 600; i++) {
      let text = '';
      for (let n = pick(i % 2 === 0 ? 5 : 12); n >= 0; n--)
        text += i % 2 === 0 ? ` ${words[1 + pick(words.length - 1)]}` : String.fromCharCode(97 + pick(26));
      if (exact.read(text).ok) continue;
      const decision = decide(reader.read(normalise(text)));
      if (decision.kind !== 'keep') continue;
      const { passedOver, supposed, own } = decision.reading.evidence!;
      expect({ text, passedOver, supposed }).toEqual({ text, passedOver: 0, supposed: 0 });
      expect(own, text).toBeGreaterThan(0);
    }
  });

  it('gives posteriors that sum to one, each meaning once, best first', () => {
    const readings = reader.read('ate paces to and a half');
    expect(readings.reduce((sum, { posterior }) => sum + posterior, 0)).toBeCloseTo(1, 9);
    expect(new Set(readings.map(({ notes: [note] }) => noteKey(note))).size).toBe(readings.length);
    const posteriors = readings.map(({ posterior }) => posterior);
    expect(posteriors).toEqual([...posteriors].sort((a, b) => b - a));
  });
});

describe('a sentence of the grammar', () => {
  it('costs nothing and means what the exact reader says', () => {
    const sampler = createSampler(trees);
    const random = seeded(18);
    for (let run = 0; run < 150; run++) {
      const { words } = sampler.sample(random);
      const read = exact.read(words);
      if (!read.ok) throw new Error(words);
      const found = reader.read(words);
      expect(found[0]!.cost, words).toBe(0);
      // Two numbers side by side may part in two ways that both cost nothing ("seventy nine point six"): his is one of them.
      expect(
        found.filter(({ cost }) => cost === 0).map(({ notes: [note] }) => noteKey(note)),
        words,
      ).toContain(noteKey(read.value[0]!.notes[0]));
    }
  });

  it('is found again from its phones alone, without word borders', () => {
    for (const words of ['eight paces eye five and a half', 'two two', 'how many trees', 'eight ten']) {
      if (!exact.read(words).ok) continue;
      const sounds = words.split(' ').flatMap((word) => [...graph.lexicon.pronounce(word)[0]!]);
      const best = reader.readPhones(sounds)[0]!;
      expect(best.cost).toBe(0);
      expect(noteKey(best.notes[0])).toBe(meaning(words));
    }
  });
});
