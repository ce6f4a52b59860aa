import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Search } from '../../grammar/decoding/search.ts';
import { createLexicon, type Lexicon, phones, phonesOf } from '../../grammar/pronunciation/lexicon.ts';
import { createGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { seeded } from '../../shared/core/random.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { search } from '../support/whole.ts';
import { type SmallArc, smallAutomaton } from './small-automaton.ts';

/** Six made-up words over three phones, some alike, some with variants, doubled phones at their borders. */
const sounds = {
  ma: ['M AA'],
  am: ['AA M', 'M'],
  mam: ['M AA M'],
  maa: ['M AA AA'],
  to: ['T', 'T AA'],
  at: ['AA T'],
};
const lexicon: Lexicon = createLexicon().withWords(sounds);
const alphabet = [0, ...phonesOf('AA M T')];

/** Random log probabilities; only the blank and three phones are likely. `sharp` makes them more certain. */
function posteriors(frames: number, random: () => number, sharp = 3, among: readonly number[] = alphabet) {
  const logp = new Float32Array(frames * 40);
  for (let t = 0; t < frames; t++) {
    const weights = Float64Array.from({ length: 40 }, (_, k) =>
      Math.exp(among.includes(k) ? sharp * random() : -9),
    );
    const sum = weights.reduce((a, b) => a + b, 0);
    for (let k = 0; k < 40; k++) logp[t * 40 + k] = Math.log(weights[k]! / sum);
  }
  return logp;
}

/** Phone graph's answer by trying everything: every frame labelling against every sentence and pronunciation. */
function bruteForce(
  arcs: readonly SmallArc[],
  finals: readonly number[],
  logp: Float32Array,
  frames: number,
) {
  // CTC: probability of a phone string, by all labellings of the frames that collapse to it.
  const sums = new Map<string, { best: number; sum: number }>();
  const label = (t: number, score: number, last: number, out: string): void => {
    if (t === frames) {
      const entry = sums.get(out) ?? { best: Number.NEGATIVE_INFINITY, sum: 0 };
      entry.best = Math.max(entry.best, score);
      entry.sum += Math.exp(score);
      sums.set(out, entry);
      return;
    }
    for (const k of alphabet)
      label(t + 1, score + logp[t * 40 + k]!, k, k === 0 || k === last ? out : `${out}${k},`);
  };
  label(0, 0, 0, '');
  const meanings = new Map<string, { best: number; sum: number }>();
  const say = (state: number, fields: Record<string, unknown>, out: string, words: number): void => {
    if (finals.includes(state)) {
      const found = sums.get(out);
      if (found !== undefined) {
        const key = noteKey(fields as never);
        const entry = meanings.get(key) ?? { best: Number.NEGATIVE_INFINITY, sum: 0 };
        entry.best = Math.max(entry.best, found.best);
        entry.sum += found.sum;
        meanings.set(key, entry);
      }
    }
    if (words === frames) return;
    for (const [from, word, to, tag] of arcs) {
      if (from !== state) continue;
      const next = { ...fields };
      if (tag !== undefined) next[tag.split('=')[0]!] = Number(tag.split('=')[1]);
      for (const sound of lexicon.pronounce(word))
        say(to, next, out + Array.from(sound, (id) => `${id},`).join(''), words + 1);
    }
  };
  say(0, {}, '', 0);
  return meanings;
}

const arcArbitrary = fc
  .tuple(fc.nat(2), fc.constantFrom(...Object.keys(sounds)), fc.integer({ min: 1, max: 3 }), fc.nat(2))
  .map(([from, word, step, value]): SmallArc => [from, word, Math.min(3, from + step), `f${from}=${value}`]);
const arcsArbitrary = fc
  .uniqueArray(arcArbitrary, { minLength: 1, maxLength: 8, selector: (arc) => arc.join() })
  .map((arcs): SmallArc[] => [...arcs, [0, 'ma', 3, 'f0=1']])
  .map((arcs) => [...new Map(arcs.map((arc) => [arc.join(), arc])).values()]);

const exact = { beam: Number.POSITIVE_INFINITY, meanings: 1000, depth: Number.POSITIVE_INFINITY };

describe('CTC search', () => {
  it('finds what trying every alignment of every sentence finds', () => {
    const belief = { found: 0, of: 0 };
    fc.assert(
      fc.property(arcsArbitrary, fc.integer({ min: 1, max: 6 }), fc.integer(), (arcs, frames, seed) => {
        const logp = posteriors(frames, seeded(seed));
        const graph = createGraph(smallAutomaton(arcs, [3]), lexicon);
        const expected = bruteForce(arcs, [3], logp, frames);
        const { hypotheses, free, margin, speechFrames } = search(graph, logp, frames, exact);
        const best = [...expected.values()].reduce((a, b) => Math.max(a, b.best), Number.NEGATIVE_INFINITY);
        expect(hypotheses.length > 0).toBe(expected.size > 0);
        // No meaning is scored above its true sum, the best meanings are found with all their wordings.
        for (const {
          notes: [note],
          logp: found,
        } of hypotheses) {
          const truth = expected.get(noteKey(note));
          expect(truth).toBeDefined();
          expect(found).toBeLessThanOrEqual(Math.log(truth!.sum) + 1e-4);
        }
        if (expected.size === 0) return;
        expect(free - margin * Math.max(1, speechFrames)).toBeCloseTo(best, 4);
        const holder = [...expected].find(([, entry]) => entry.best === best)!;
        // A meaning whose words are entered at another frame than the best path's may be lost, but seldom.
        const total = [...expected.values()].reduce((sum, { sum: one }) => sum + one, 0);
        for (const { logp: one } of hypotheses) belief.found += Math.exp(one) / total;
        belief.of++;
        const same = hypotheses.find(({ notes: [note] }) => noteKey(note) === holder[0])!;
        expect(same).toBeDefined();
      }),
      { numRuns: 300 },
    );
    expect(belief.found / belief.of).toBeGreaterThan(0.98);
  });

  it('sums one sentence over variants and alignments exactly', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...Object.keys(sounds)), { minLength: 1, maxLength: 3 }),
        fc.integer({ min: 3, max: 6 }),
        fc.integer(),
        (words, frames, seed) => {
          const arcs = words.map((word, i): SmallArc => [i, word, i + 1]);
          const logp = posteriors(frames, seeded(seed));
          const graph = createGraph(smallAutomaton(arcs, [words.length]), lexicon);
          const expected = bruteForce(arcs, [words.length], logp, frames).get('{}');
          const { hypotheses } = search(graph, logp, frames, exact);
          if (expected === undefined) expect(hypotheses).toEqual([]);
          else expect(hypotheses[0]!.logp).toBeCloseTo(Math.log(expected.sum), 3);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('loses nothing when another word may be said', () => {
    fc.assert(
      fc.property(arcsArbitrary, arcArbitrary, fc.integer(), (arcs, added, seed) => {
        const logp = posteriors(6, seeded(seed));
        const score = (list: readonly SmallArc[]) => {
          const result = search(createGraph(smallAutomaton(list, [3]), lexicon), logp, 6, exact);
          return -result.margin;
        };
        const more = [...arcs.filter((arc) => arc.join() !== added.join()), added];
        expect(score(more)).toBeGreaterThanOrEqual(score(arcs) - 1e-6);
      }),
      { numRuns: 100 },
    );
  });
});

/** Log probabilities of a speaker who says these phones clearly, `hold` frames each, blanks between. */
function spoken(text: string, hold = 2, sure = 0.9): Float32Array {
  const rows: number[] = [0, 0];
  for (const id of text === '' ? [] : phonesOf(text)) rows.push(...Array<number>(hold).fill(id), 0);
  rows.push(0, 0);
  const logp = new Float32Array(rows.length * 40).fill(Math.log((1 - sure) / 39));
  rows.forEach((id, t) => {
    logp[t * 40 + id] = Math.log(sure);
  });
  return logp;
}

describe('hearing notes', () => {
  const plain = createLexicon();
  const numbers: SmallArc[] = [
    [0, 'eight', 1, 'a=8'],
    [0, 'two', 1, 'a=2'],
    [0, 'fifteen', 1, 'a=15'],
    [0, 'fifty', 1, 'a=50'],
    [1, 'ten', 2, 'b=10'],
    [1, 'two', 2, 'b=2'],
    [1, 'feet', 2, 'b=0'],
  ];
  const graph = createGraph(smallAutomaton(numbers, [1, 2]), plain);

  it('hears the same phone twice across a word border ("eight ten", "two two")', () => {
    expect(search(graph, spoken('EY T T EH N')).hypotheses[0]!.notes[0]).toEqual({ a: 8, b: 10 });
    expect(search(graph, spoken('T UW T UW')).hypotheses[0]!.notes[0]).toEqual({ a: 2, b: 2 });
    // Run together, one T can only be one T.
    const slurred = spoken('EY T EH N');
    expect(search(graph, slurred).hypotheses[0]!.worst).toBeGreaterThan(3);
  });

  it('gives the other reading of a slurred number its share', () => {
    const logp = spoken('F IH F T IY F IY T');
    // Half an N between IY and F: fifteen feet or fifty feet.
    const frame = 2 + 5 * 3 - 1;
    logp[frame * 40] = Math.log(0.5);
    logp[frame * 40 + phones.indexOf('N')] = Math.log(0.4);
    const { hypotheses } = search(graph, logp);
    expect(hypotheses.slice(0, 2).map(({ notes: [note] }) => note)).toEqual([
      { a: 50, b: 0 },
      { a: 15, b: 0 },
    ]);
    expect(hypotheses[0]!.posterior / hypotheses[1]!.posterior).toBeCloseTo(0.5 / 0.4, 0);
    expect(hypotheses.reduce((sum, { posterior }) => sum + posterior, 0)).toBeCloseTo(1, 9);
  });

  it('says when each word was said and which one does not fit', () => {
    const { hypotheses, margin, phones: heard } = search(graph, spoken('EY T F IY T'));
    expect(hypotheses[0]!.words.map(({ word, from, to }) => [word, from, to])).toEqual([
      ['eight', 2, 7],
      ['feet', 8, 16],
    ]);
    expect(hypotheses[0]!.worst).toBeLessThan(1e-3);
    expect(margin).toBeLessThan(1e-3);
    expect(Array.from(heard)).toEqual(Array.from(phonesOf('EY T F IY T')));
    const wrong = search(graph, spoken('EY T P AE T')).hypotheses[0]!;
    expect(wrong.words[0]!.margin).toBeLessThan(1e-3);
    expect(wrong.words[1]!.margin).toBeGreaterThan(8);
    const before = search(graph, spoken('D AO G EY T F IY T')).hypotheses[0]!;
    expect(before.lead).toBeGreaterThan(8);
    const behind = search(graph, spoken('EY T F IY T D AO G')).hypotheses[0]!;
    expect(behind.words[1]!.gap).toBeGreaterThan(8);
  });

  it('passes over fillers, before and between the words', () => {
    const hesitant = createGraph(smallAutomaton(numbers, [1, 2]), plain, { free: [], fillers: ['um', 'uh'] });
    const said = spoken('AH M EY T AH M F IY T');
    const heard = search(hesitant, said).hypotheses[0]!;
    expect(heard.notes[0]).toEqual({ a: 8, b: 0 });
    expect(heard.words.map(({ word }) => word)).toEqual(['eight', 'feet']);
    expect(heard.worst).toBeLessThan(1e-3);
    expect(search(graph, said).hypotheses[0]!.worst).toBeGreaterThan(8);
    // A wider beam finds no less.
    expect(search(hesitant, said, undefined, { beam: 60 }).hypotheses[0]!.notes[0]).toEqual({ a: 8, b: 0 });
    // Without fillers nothing changes.
    const fluent = spoken('EY T F IY T');
    expect(search(hesitant, fluent).hypotheses[0]).toEqual(search(graph, fluent).hypotheses[0]);
  });

  it('hears nothing in silence', () => {
    const result = search(graph, spoken(''));
    expect(result.speechFrames).toBe(0);
    expect(result.hypotheses.every(({ worst }) => worst > 3)).toBe(true);
  });

  it('tells while the speaker speaks what is complete and what may come next', () => {
    const run = new Search(graph);
    const logp = spoken('F IH F T IY N F IY T');
    run.push(logp.slice(0, 12 * 40));
    // It could be "fifty" only against the sound.
    expect(run.partial().complete?.behind ?? 99).toBeGreaterThan(8);
    run.push(logp.slice(12 * 40, 20 * 40));
    const middle = run.partial();
    expect(middle.complete?.notes[0]).toEqual({ a: 15 });
    expect(middle.closed).toBe(false);
    run.push(logp.slice(20 * 40));
    const end = run.partial();
    expect(end.words).toEqual(['fifteen', 'feet']);
    expect(end.closed).toBe(true);
    expect(run.finish().hypotheses).toEqual(search(graph, logp).hypotheses);
    run.reset();
    run.push(spoken('T UW'));
    expect(run.finish().hypotheses[0]!.notes[0]).toEqual({ a: 2 });
  });

  it('finds with its beam what it finds without', () => {
    const random = seeded(5);
    const among = [0, ...phonesOf('EY T UW F IH IY N EH')];
    for (let run = 0; run < 60; run++) {
      const logp = posteriors(40, random, 6, among);
      const narrow = search(graph, logp, 40);
      const wide = search(graph, logp, 40, { beam: Number.POSITIVE_INFINITY });
      expect(narrow.hypotheses[0]?.notes[0]).toEqual(wide.hypotheses[0]?.notes[0]);
      expect(narrow.margin).toBeCloseTo(wide.margin, 9);
    }
  });
});
