/**
 * How easily one phone is taken for another: costs in nats, each the negative logarithm of a probability, so that
 * costs add up along a sentence and compare with other evidence. All that can happen to one phone (heard right,
 * as another, not at all) has probability one.
 */
import { required } from '../../shared/core/required.ts';
import { phones } from './lexicon.ts';

/**
 * Consonants by manner, place (front of the mouth to back, in steps), voice; vowels by where the tongue starts and
 * ends (height 0 close .. 3 open, back 0 front .. 2 back), lips rounded. After the chart of the International
 * Phonetic Association, for the symbols of ARPAbet (general American); the step sizes are our own choice.
 */
interface Consonant {
  readonly manner: number;
  readonly place: number;
  readonly voiced: number;
}
interface Vowel {
  readonly height: number;
  readonly back: number;
  readonly round: number;
  readonly endHeight: number;
  readonly endBack: number;
  readonly rhotic: number;
}
/** 0 stop, 1 affricate, 2 fricative, 3 nasal, 4 liquid, 5 glide. */
const consonants: Readonly<Record<string, readonly [number, number, number]>> = {
  P: [0, 0, 0],
  B: [0, 0, 1],
  T: [0, 3, 0],
  D: [0, 3, 1],
  K: [0, 6, 0],
  G: [0, 6, 1],
  CH: [1, 4, 0],
  JH: [1, 4, 1],
  F: [2, 1, 0],
  V: [2, 1, 1],
  TH: [2, 2, 0],
  DH: [2, 2, 1],
  S: [2, 3, 0],
  Z: [2, 3, 1],
  SH: [2, 4, 0],
  ZH: [2, 4, 1],
  HH: [2, 7, 0],
  M: [3, 0, 1],
  N: [3, 3, 1],
  NG: [3, 6, 1],
  L: [4, 3, 1],
  R: [4, 4, 1],
  W: [5, 0, 1],
  Y: [5, 5, 1],
};
/** Height, back, round of the start; height and back of the end; rhotic. */
const vowels: Readonly<Record<string, readonly [number, number, number, number, number, number]>> = {
  IY: [0, 0, 0, 0, 0, 0],
  IH: [0.6, 0.4, 0, 0.6, 0.4, 0],
  EH: [1.7, 0.3, 0, 1.7, 0.3, 0],
  AE: [2.5, 0.2, 0, 2.5, 0.2, 0],
  AH: [1.7, 1.2, 0, 1.7, 1.2, 0],
  ER: [1.5, 1, 0, 1.5, 1, 1],
  AA: [3, 1.7, 0, 3, 1.7, 0],
  AO: [2.2, 2, 0.8, 2.2, 2, 0],
  UH: [0.6, 1.6, 0.7, 0.6, 1.6, 0],
  UW: [0, 1.8, 1, 0, 1.8, 0],
  EY: [1.2, 0.1, 0, 0.3, 0.1, 0],
  AY: [2.9, 1, 0, 0.5, 0.3, 0],
  OY: [2, 2, 0.8, 0.5, 0.3, 0],
  AW: [2.8, 1, 0, 0.6, 1.7, 0],
  OW: [1.4, 1.8, 0.8, 0.5, 1.8, 0],
};
const mannerStep: readonly (readonly number[])[] = [
  [0, 0.7, 1.1, 1.4, 1.8, 2],
  [0.7, 0, 0.6, 1.8, 1.9, 2],
  [1.1, 0.6, 0, 1.6, 1.6, 1.7],
  [1.4, 1.8, 1.6, 0, 1, 1.5],
  [1.8, 1.9, 1.6, 1, 0, 0.7],
  [2, 2, 1.7, 1.5, 0.7, 0],
];

const consonantOf = (phone: string): Consonant | undefined => {
  const row = consonants[phone];
  return row && { manner: row[0], place: row[1], voiced: row[2] };
};
const vowelOf = (phone: string): Vowel | undefined => {
  const row = vowels[phone];
  return (
    row && {
      height: row[0],
      back: row[1],
      round: row[2],
      endHeight: row[3],
      endBack: row[4],
      rhotic: row[5],
    }
  );
};

/** Distance of two phones in steps, symmetric; 0 for the same phone, about 1 for neighbours, at most 4. */
function steps(a: string, b: string): number {
  if (a === b) return 0;
  const ca = consonantOf(a);
  const cb = consonantOf(b);
  if (ca && cb) {
    const place = Math.min(1.6, Math.abs(ca.place - cb.place) * 0.45);
    return mannerStep[ca.manner]![cb.manner]! + place + 0.7 * Math.abs(ca.voiced - cb.voiced);
  }
  const va = vowelOf(a);
  const vb = vowelOf(b);
  if (va && vb) {
    const start = Math.hypot(va.height - vb.height, va.back - vb.back);
    const end = Math.hypot(va.endHeight - vb.endHeight, va.endBack - vb.endBack);
    return (
      0.25 +
      0.55 * (start + end) +
      0.3 * Math.abs(va.round - vb.round) +
      0.6 * Math.abs(va.rhotic - vb.rhotic)
    );
  }
  // A vowel for a consonant: only glides and liquids come near one.
  const vowel = required(va ?? vb, 'the vowel');
  const consonant = required(ca ?? cb, 'the consonant');
  if (consonant.manner === 5) return vowel.endHeight < 0.7 || vowel.height < 0.7 ? 2 : 3;
  if (consonant.manner === 4) return vowel.rhotic ? 1.2 : 3;
  return 4;
}

/** Pairs that are taken for each other more often than their distance says (five / nine: F N, V N). */
const confused: Readonly<Record<string, number>> = {
  'F N': 1.9,
  'V N': 1.7,
  'M N': 0.5,
  'F TH': 0.4,
  'B V': 0.9,
  'T TH': 0.7,
  'D DH': 0.5,
  // Weak and merging vowels, after the variants that CMUdict itself gives.
  'AH IH': 0.4,
  'AH UH': 0.7,
  'AA AO': 0.4,
};

/** What can happen to a phone on its way: how often, of 1. */
export const slipRates = {
  /** It is heard as another one. */
  substituted: 0.03,
  /** It is not heard. */
  dropped: 0.012,
  /** A phone is heard where none was said (before any phone). */
  inserted: 0.008,
} as const;
/** Nats per step of distance among substitutions. */
const perStep = 2.2;
/** Part of the substitutions that follow no likeness at all. */
const unlike = 0.08;

const count = phones.length;
/** cost[said * 40 + heard] in nats; 0 for the same phone. */
export const substitution = new Float32Array(count * count);
/** Cost of a said phone that is not heard. */
export const deletion = new Float32Array(count);
/** Cost of a heard phone that was not said. */
export const insertion = new Float32Array(count);

/** Final consonants and weak vowels vanish first; stressed diphthongs hardly ever. Relative to the mean. */
const fragile: Readonly<Record<string, number>> = {
  T: 2.4,
  D: 2.4,
  HH: 2,
  AH: 1.8,
  N: 1.4,
  NG: 1.2,
  L: 1.2,
  R: 1.3,
  IH: 1.2,
  ER: 0.9,
  V: 1.2,
  DH: 1.6,
  Y: 1.4,
};

for (let said = 1; said < count; said++) {
  let sum = 0;
  const likeness = new Float64Array(count);
  for (let heard = 1; heard < count; heard++) {
    if (heard === said) continue;
    const a = phones[said]!;
    const b = phones[heard]!;
    const distance = Math.min(steps(a, b), confused[`${a} ${b}`] ?? 9, confused[`${b} ${a}`] ?? 9);
    likeness[heard] = Math.exp(-perStep * distance);
    sum += likeness[heard]!;
  }
  for (let heard = 1; heard < count; heard++) {
    const share = (1 - unlike) * (likeness[heard]! / sum) + unlike / (count - 2);
    substitution[said * count + heard] = heard === said ? 0 : -Math.log(slipRates.substituted * share);
  }
  deletion[said] = -Math.log(slipRates.dropped * (fragile[phones[said]!] ?? 0.7));
  insertion[said] = -Math.log(slipRates.inserted * (fragile[phones[said]!] ?? 0.7) * (2 / (count - 1)));
}

/** Cost in nats of hearing `heard` for `said`. */
export const slipCost = (said: number, heard: number): number => substitution[said * count + heard]!;

/**
 * Weighted distance of two pronunciations: the cheapest way in which `said` was heard as `heard`, in nats.
 * `phoneDistance(phonesOf('F AY V'), phonesOf('N AY N'))` is small beside that of unlike words.
 * @internal for benches: how far apart two notes sound
 */
export function phoneDistance(said: ArrayLike<number>, heard: ArrayLike<number>): number {
  let row = new Float64Array(heard.length + 1);
  for (let j = 1; j <= heard.length; j++) row[j] = row[j - 1]! + insertion[heard[j - 1]!]!;
  for (let i = 1; i <= said.length; i++) {
    const next = new Float64Array(heard.length + 1);
    next[0] = row[0]! + deletion[said[i - 1]!]!;
    for (let j = 1; j <= heard.length; j++)
      next[j] = Math.min(
        row[j]! + deletion[said[i - 1]!]!,
        next[j - 1]! + insertion[heard[j - 1]!]!,
        row[j - 1]! + slipCost(said[i - 1]!, heard[j - 1]!),
      );
    row = next;
  }
  return row[heard.length]!;
}
