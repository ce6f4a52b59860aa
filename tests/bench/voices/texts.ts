/**
 * What the evaluation voices say: notes, notes with one word replaced, and talk that is none of the tool's business.
 * Everything follows from a seed, so that two runs speak and measure the same.
 */
import { grammar } from '../../../grammar/grammar.ts';

/** Uniform numbers below 1 from a seed (mulberry32). */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

export const pick = <T>(random: () => number, list: readonly T[]): T =>
  list[Math.floor(random() * list.length)]!;

/** So many different notes: the examples of the grammar's rules, in an order that the seed decides. */
export function notes(count: number, seed: number): string[] {
  const random = seeded(seed);
  const all = grammar.rules.flatMap((rule) => rule.examples ?? []).map((example) => example.words);
  for (let i = all.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [all[i], all[j]] = [all[j]!, all[i]!];
  }
  return all.slice(0, count);
}

/** Words of everyday talk that no note has in their place. */
const strangers =
  'yesterday kitchen window music orange seldom purple basket holiday doctor garden letter bottle market button trouble summer village picture river danger finger shadowy weather captain hungry travel coffee pocket ticket'.split(
    ' ',
  );

/** Notes of three words or more with one word replaced by a stranger. */
export function nearMisses(count: number, seed: number): string[] {
  const random = seeded(seed);
  return notes(400, seed + 1)
    .filter((note) => note.split(' ').length >= 3 && !/remark|note |call|stand|stratum|crew|means/.test(note))
    .slice(0, count)
    .map((note) => {
      const words = note.split(' ');
      words[Math.floor(random() * words.length)] = pick(random, strangers);
      return words.join(' ');
    });
}

/** What people say to one another in a wood. Made up. */
export const talk: readonly string[] = [
  'did you bring the sandwiches or did we leave them in the car',
  'mind the wasps over there',
  'I think it is going to rain before we get to the road',
  'my boots are soaked through already',
  'she said she would meet us at the gate around noon',
  'wait for me a moment please',
  'that dog has been barking since we got here',
  'can you hold this while I tie my laces',
  'the old wall used to run all the way down to the stream',
  'we should have come last week when it was dry',
  'have you seen my other glove anywhere',
  'he bought a new saw and it broke on the first day',
  'let us sit down and have some tea',
  'what time does the shop close tonight',
  'there was an owl in here last winter',
  'I do not know who owns the field beyond the fence',
  'careful with that branch it is about to come down',
  'my sister is having a baby in the spring',
  'the phone has no signal down here at all',
  'we can walk back along the other side',
  'somebody has been burning rubbish over by the track',
  'it smells of mushrooms around here',
  'do you want the last piece of cake',
  'he never answers when I call him',
  'the battery was fine this morning',
  'look at that woodpecker on the stump',
  'I would rather be at home by the fire',
  'turn the radio down I cannot hear you',
  'there used to be a cabin behind those rocks',
  'are you coming to the meeting on thursday',
  'nobody told me about the change of plan',
  'watch where you put your feet',
  'it took him three days to get the car out of the mud',
  'the children loved the swing we made',
  'I forgot to lock the back door',
  'she paints those little birds on cups and sells them',
  'how did you get that scratch on your arm',
  'we lost half of the apples to the frost',
  'the bus only comes twice a day',
  'pass me the water would you',
];
