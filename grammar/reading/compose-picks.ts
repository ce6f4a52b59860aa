/** "The scarlet one": the word that tells one of several from the others; whether a tree of some diameter counts. */
import type { Note } from '../../shared/note/note.ts';
import { speciesNames } from '../../shared/note/species.ts';
import { type Draft, everyPlace, plainDiameter, plainLength, type Scan } from './scan.ts';

/** Words before the last of a name, without those that are said of any tree. */
const firstWords: ReadonlySet<string> = new Set(
  speciesNames
    .flatMap((name) => name.split(' ').slice(0, -1))
    .filter((word) => !/^(?:of|big|tree|old|field|small|large|hop|way|high|mountain)$/.test(word)),
);

const named =
  /^(?:(?:no|yes|it is|it was|that is|that was|i mean|i meant|i think|make it|probably|well) )*,? ?(?:the|a|an) ([a-z]+) (?:one|kind|sort)$/;

/** "The scarlet one", "it's the bitternut one". */
export function pickDraft(scan: Scan): Draft | undefined {
  const word = named.exec(scan.text())?.[1];
  if (word === undefined || !firstWords.has(word)) return undefined;
  return { notes: [{ kind: 'pick', what: 'named', word }], used: everyPlace(scan), against: 0 };
}

const counting =
  /^(?:and |so |ok |okay )?(?:is|would|will|does|can|could) (?:an?|the|that|this|my)\b.*\b(?:in|out|counts?|be in|in or out)$/;

/** "Is a 14 inch tree in", "would a 12 inch beech be in at 20 feet": how far it may stand, or whether it counts there. */
export function isInDraft(scan: Scan): Draft | undefined {
  const text = scan.text().replace(/ (?:at|from) [^,]*$/, '');
  if (!counting.test(text) || scan.species.length > 1) return undefined;
  const [thick, ...more] = scan.of('diameter', 'bare');
  const [far, ...others] = scan.of('distance');
  if (thick === undefined || more.length > 0 || others.length > 0) return undefined;
  if (scan.numbers.some((at) => (at !== thick && at !== far) || scan.isWalked(at))) return undefined;
  const note: Note =
    far === undefined
      ? { kind: 'ask', about: 'limit', diameter: plainDiameter(scan.number(thick)) }
      : standsAt(scan, thick, far);
  return { notes: [note], used: everyPlace(scan), against: 0 };
}

/** Whether a tree of that size counts where it stands, by the places of both numbers. */
export function standsAt(scan: Scan, thick: number, far: number): Note {
  const [species] = scan.species;
  return {
    kind: 'borderline',
    facts: {
      ...(species === undefined ? {} : { species: scan.name(species) }),
      diameter: plainDiameter(scan.number(thick)),
    },
    distance: plainLength(scan.number(far)),
  };
}
