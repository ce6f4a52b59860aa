/**
 * Species that are typed and not heard (`typedOnly` in `shared/note/species.ts`): their names stand in no automaton. A typed
 * name is read as a stand-in, a species of the automaton that was not said, and put back in what was read; the other way
 * round when a note is spoken.
 */
import { speciesByCode, speciesNames, spokenName, typedNames, typedOnly } from '../../shared/note/species.ts';

/** Any of them reads alike wherever a species may be said. */
const standIns = [531, 833, 316, 541, 762, 731, 602, 611].map((code) => ({
  code,
  name: spokenName(speciesByCode(code)?.commonName ?? ''),
}));
type StandIn = (typeof standIns)[number];

const rareCodes = new Set(typedOnly.map(({ code }) => code));
/** Names of the automaton in which a typed one stands: "wild service tree" is no service tree. */
const longerNames = speciesNames.filter((name) =>
  [...typedNames.keys()].some((typed) => ` ${name} `.includes(` ${typed} `)),
);
const heard: ReadonlySet<string> = new Set(longerNames);
/** Longest first: "blue gum" before "gum". */
const anyTyped = new RegExp(
  `\\b(${[...typedNames.keys(), ...longerNames]
    .sort((a, b) => b.length - a.length)
    .map((name) => name.replaceAll(' ', '[ -]'))
    .join('|')})(?:e?s)?\\b`,
  'gi',
);
/** "Yellow-Cedar" as the list has it. */
const asListed = (name: string): string => name.toLowerCase().replaceAll('-', ' ');
const isHeard = (name: string): boolean => heard.has(asListed(name).replace(/s$/, ''));

const codeOf = (typed: string): number | undefined =>
  typedNames.get(typed) ??
  typedNames.get(typed.replace(/s$/, '')) ??
  typedNames.get(typed.replace(/es$/, ''));

/** Trees whose names people have, too. */
const alsoPeople = /^(?:rowan|hazel|laurel|myrtle|lilac|doug|fig|elder|plum|acacia)$/i;
const ofPerson =
  /^(?:'s\b|’s\b|\s+(?:here|speaking|talking|calling|measuring|now|is|was|has|had|on|again|with|says|said|takes|taking|will|and [A-Z]|tree|pace|eye|eyes)\b)/;
const ofPlace =
  /(?:\b(?:stand|stratum|tract|block|wood|called|named|name|call|crew|person|it's|this is)\s+)$/i;
const beforeTree = /\b(?:an?|the|one|another|of|this|that|dead|old|young|first|second|last)\s+$/i;
const ofTree =
  /^(?:s\b)?,?:?\s+(?:\d|one|two|three|four|five|six|seven|eight|nine|ten|eleven|[a-z]+teen|twelve|[a-z]+ty\b)/i;

/** Whether a name in a text is that of a tree, not of a person or a place. */
function isTree(text: string, name: string, at: number): boolean {
  const before = text.slice(Math.max(0, at - 16), at);
  const behind = text.slice(at + name.length);
  if (!alsoPeople.test(name)) return !ofPlace.test(before);
  // Of our crew: a tree only beside a number or an article.
  if (/^rowan$/i.test(name))
    return !/^ tree/i.test(behind) && (ofTree.test(behind) || beforeTree.test(before));
  return beforeTree.test(before) || !(ofPlace.test(before) || ofPerson.test(behind));
}

/** What stands where the other does, at every depth: codes of species, and names in sentences. */
function exchanged<T>(value: T, species: ReadonlyMap<number, number>, text: (text: string) => string): T {
  const walk = (part: unknown, key: string): unknown => {
    if (key === 'species' && typeof part === 'number') return species.get(part) ?? part;
    if (typeof part === 'string') return text(part);
    if (Array.isArray(part)) return part.map((each) => walk(each, ''));
    if (part === null || typeof part !== 'object') return part;
    return Object.fromEntries(Object.entries(part).map(([name, each]) => [name, walk(each, name)]));
  };
  return walk(value, '') as T;
}

/**
 * A reading that knows the typed names too.
 * Example: with `understand('rimu twenty')` refused, `withTypedSpecies(understand)('kauri twenty')` is a kauri.
 */
export function withTypedSpecies<T, Rest extends readonly unknown[]>(
  read: (text: string, ...rest: Rest) => T,
): (text: string, ...rest: Rest) => T {
  return (text, ...rest) => {
    const named = [...text.matchAll(anyTyped)].filter(
      ({ 0: name, index }) => !isHeard(name) && isTree(text, name, index),
    );
    const found = [...new Set(named.map(([name]) => asListed(name)))];
    if (found.length === 0) return read(text, ...rest);
    const free = standIns.filter(({ name }) => !text.toLowerCase().includes(name.split(' ').at(-1) ?? name));
    const pairs = found.flatMap((typed, at): { typed: string; code: number; by: StandIn }[] => {
      const code = codeOf(typed);
      const by = free[at];
      return code === undefined || by === undefined ? [] : [{ typed, code, by }];
    });
    const inPlace = (name: string): string | undefined => {
      const by = pairs.find(({ typed }) => typed === asListed(name))?.by.name;
      return by === undefined || typedNames.has(asListed(name)) ? by : `${by}s`;
    };
    const standing = text.replace(anyTyped, (name, _, at: number) =>
      !isHeard(name) && isTree(text, name, at) ? (inPlace(name) ?? name) : name,
    );
    const species = new Map(pairs.map(({ code, by }) => [by.code, code]));
    const back = (told: string): string =>
      pairs.reduce((all, { typed }) => {
        const by = inPlace(typed) ?? typed;
        return all.replaceAll(by, typed).replaceAll(`"${by.split(' ').at(-1)}"`, `"${typed}"`);
      }, told);
    return exchanged(read(standing, ...rest), species, back);
  };
}

/** A note with its words, where it may hold a species that no pattern says. */
export function speakTyped<N>(note: N, speak: (note: N) => string | undefined): string | undefined {
  const said = [...JSON.stringify(note).matchAll(/"species":(\d+)/g)].map(([, code]) => Number(code));
  const codes = [...new Set(said)].filter((code) => rareCodes.has(code));
  const [code] = codes;
  const [by] = standIns;
  if (code === undefined || codes.length > 1 || by === undefined) return undefined;
  const words = speak(exchanged(note, new Map([[code, by.code]]), (text) => text));
  return words?.replaceAll(by.name, spokenName(speciesByCode(code)?.commonName ?? ''));
}
