/** Answers that bring what a note lacked: a length, a scale, a species, what a distance was measured to. */
import type { Tree } from '../book/book.ts';
import type { Act, Question } from '../note/acts.ts';
import type { Note, NoteOf, SpeciesRef } from '../note/note.ts';
import type { Length } from '../note/quantities.ts';
import { speciesOfNickname } from '../note/species.ts';
import * as wording from '../wording/wording.ts';
import { type Answering, completed, settled } from './answer-outcomes.ts';
import { countSaid } from './calibration.ts';
import { type Context, kept, refused } from './outcome.ts';
import { outcomeOf } from './resolve.ts';

/** A pace or an eye height: as a setting, a number or a length. */
export const answerLength =
  (what: 'pace' | 'eye'): Answering =>
  ({ context, open }, note) => {
    const setting = lengthSetting(what, note);
    if (!setting) return null;
    const outcome = outcomeOf(context, setting);
    // A number that cannot be the answer may still be a diameter, say: it goes on as a note of its own.
    if (outcome.state === 'refused') return note.kind === 'number' ? null : outcome;
    return { ...outcome, settles: open.entry };
  };

function lengthSetting(what: 'pace' | 'eye', note: Note): Note | null {
  if (note.kind === 'setting' && 'whose' in note.set && note.set.whose !== undefined) return null;
  if (note.kind === 'setting')
    return note.set.what === what || (what === 'pace' && note.set.what === 'walk') ? note : null;
  const length = note.kind === 'number' ? numberLength(what, note) : bareLength(note);
  return length ? { kind: 'setting', set: { what, length } } : null;
}

/** "five six" is feet and inches of an eye height. */
function numberLength(what: 'pace' | 'eye', { value, unit, pair }: NoteOf<'number'>): Length {
  if (what === 'eye' && pair) return { value: pair[0] + pair[1] / 12, unit: 'ft' };
  return { value, ...(unit && unit !== 'deg' && unit !== 'pct' && unit !== 'topo' ? { unit } : {}) };
}

/** A length alone is read as the distance of a stick height; what the tape says is one. */
function bareLength(note: Note): Length | null {
  const taped = note.kind === 'height' && 'distance' in note.height && 'taped' in note.height.distance;
  return taped ? null : stickLength(note);
}

/** A length alone, taped or not. */
function stickLength(note: Note): Length | null {
  if (note.kind !== 'height' || note.height.method !== 'stick' || note.height.eye) return null;
  const { distance } = note.height;
  return distance.by === 'length' ? distance.length : null;
}

/** Which is counted, and then the walk or pace that raised the question: both in one entry. "Yes" means every step. */
export const answerCounting: Answering = ({ context, open, picked }, note) => {
  const of = countingMeant(picked ?? note);
  if (of === null) return null;
  const first = outcomeOf(context, { kind: 'setting', set: { what: 'counting', of } });
  const { pending } = open.question;
  if (pending?.kind !== 'setting') return settled(open, first);
  const known = { ...context, settings: { ...context.settings, countingSaid: true, counting: of } };
  const set = pending.set.what === 'walk' ? { ...pending.set, of } : pending.set;
  const second = outcomeOf(known, { kind: 'setting', set });
  if (second.state === 'refused') return second;
  return { ...second, acts: [...first.acts, ...second.acts], settles: open.entry };
};

/** How many paces the length is that was said. */
export const answerCount: Answering = ({ context, open }, note) => {
  const { pending } = open.question;
  if (pending?.kind !== 'setting' || pending.set.what !== 'walk') return null;
  const again = note.kind === 'setting' && note.set.what === 'walk' && !note.set.length ? note.set : null;
  const length = pending.set.length ? null : stickLength(note);
  const said = length === null ? (again ?? countSaid(note)) : { length };
  return said === null
    ? null
    : completed(context, open, { kind: 'setting', set: { ...pending.set, ...said } });
};

function countingMeant(note: Note): 'paces' | 'steps' | null {
  if (note.kind === 'answer') return note.answer === 'yes' ? 'steps' : note.answer === 'no' ? 'paces' : null;
  return note.kind === 'setting' && note.set.what === 'counting' ? note.set.of : null;
}

/** What an answer picks by its word: a scale, a slope, a side of the stem. */
const wordPicked = (note: Note | null): NoteOf<'pick'>['what'] | null =>
  note?.kind === 'pick' ? note.what : null;

export const answerScale: Answering = ({ context, open, picked }, note) => {
  const scale = wordPicked(note) ?? wordPicked(picked) ?? (note.kind === 'change' ? note.scale : null);
  const { pending } = open.question;
  if ((scale !== 'deg' && scale !== 'pct' && scale !== 'topo') || !pending) return null;
  const measured =
    pending.kind === 'height' && pending.height.method === 'angles'
      ? { ...pending, height: { ...pending.height, scale } }
      : pending;
  return completed(context, open, measured);
};

export const answerSlope: Answering = ({ context, open, picked }, note) => {
  const slopeOf = wordPicked(note) ?? wordPicked(picked);
  const { pending } = open.question;
  if ((slopeOf !== 'ground' && slopeOf !== 'sight') || !pending) return null;
  return completed(context, open, withSlopeOf(pending, slopeOf));
};

/** The pending height with what its slope is of. */
function withSlopeOf(pending: Note, slopeOf: 'ground' | 'sight'): Note {
  const height = pending.kind === 'height' || pending.kind === 'tree' ? pending.height : undefined;
  if (height === undefined || !('distance' in height) || height.distance.by !== 'length') return pending;
  const measured = { ...height, distance: { ...height.distance, slopeOf } };
  return pending.kind === 'tree' ? { ...pending, height: measured } : { kind: 'height', height: measured };
}

/** To what of a tree at the border it was measured. */
export const answerFace: Answering = ({ context, open }, note) => {
  const to = wordPicked(note);
  const { pending } = open.question;
  if ((to !== 'centre' && to !== 'face') || pending?.kind !== 'borderline') return null;
  return completed(context, open, { ...pending, to });
};

/** The diameter of a tree at the border. */
export const answerDiameter: Answering = ({ context, open }, note) => {
  const diameter =
    note.kind === 'number' ? { value: note.value } : note.kind === 'tree' ? note.facts.diameter : undefined;
  const { pending } = open.question;
  if (!diameter || pending?.kind !== 'borderline') return null;
  return completed(context, open, { ...pending, facts: { ...pending.facts, diameter } });
};

export const answerDistance: Answering = ({ context, open }, note) =>
  note.kind === 'height' && open.question.pending?.kind === 'height'
    ? settled(open, outcomeOf(context, note))
    : null;

/** Which species a nickname means. In one wood it means one: it is not asked twice. */
export const answerSpecies: Answering = ({ context, open, picked }, note) => {
  if (note.kind === 'pick' && note.what === 'neither')
    return { ...kept([], () => 'Then it stays as it was said.'), settles: open.entry };
  const { target } = open.question;
  const nickname = saidSpecies(context.book.entry(open.entry)?.note);
  const alike = namedAlike(context, target, nickname);
  // When another tree is in hand, a species is the next one's.
  const { tree: inHand } = context.deviceState;
  if (note.kind === 'tree' && inHand !== target && alike.every(({ id }) => id !== inHand)) return null;
  const species = saidSpecies(picked ?? (saysSpeciesAlone(note) ? note : undefined));
  if (typeof species !== 'number') return null;
  if (!target) return refused('That tree was scratched.');
  // "Which hickory?" "And a red maple": the next tree.
  if (!picked && typeof nickname === 'string' && !isOneOf(species, nickname, open.question.options))
    return null;
  const acts = [target, ...alike.map(({ id }) => id)].map(
    (id): Act => ({ act: 'amend', target: id, fields: { species } }),
  );
  if (typeof nickname === 'string')
    acts.push({ act: 'setting', set: { what: 'nickname', nickname, species } });
  return {
    ...kept(acts, (book) => {
      const tree = book.tree(target);
      if (!tree) return 'Kept.';
      const others = alike.map(({ number }) => String(number));
      const too =
        others.length === 0
          ? ''
          : ` So ${others.length === 1 ? 'is tree' : 'are trees'} ${wording.list(others, 'and')}.`;
      return `Tree ${tree.number}, ${wording.treeFacts(tree, context.settings.units)}.${too}`;
    }),
    settles: open.entry,
  };
};

/** Other trees of the same wood that were named by the same word, which nobody has told more of yet. */
function namedAlike(
  { book }: Context,
  target: string | undefined,
  nickname: SpeciesRef | undefined,
): readonly Tree[] {
  const asked = target === undefined ? null : book.tree(target);
  if (!asked || typeof nickname !== 'string') return [];
  return [...book.trees()].filter(
    (tree) =>
      tree.id !== asked.id &&
      tree.stand === asked.stand &&
      tree.species === asked.species &&
      saidSpecies(book.entry(tree.id)?.note) === nickname,
  );
}

/** Whether a species bears a name, or is one of those that were asked for. */
const isOneOf = (species: number, nickname: string, options: Question['options']): boolean =>
  speciesOfNickname(nickname).includes(species) || options.some(({ note }) => saidSpecies(note) === species);

/** With a size or a height it is a tree of its own. */
const saysSpeciesAlone = (note: Note): boolean =>
  note.kind === 'tree' && note.height === undefined && Object.keys(note.facts).length === 1;

const saidSpecies = (note: Note | undefined): SpeciesRef | undefined =>
  note?.kind === 'tree' ? note.facts.species : undefined;
