/**
 * Species that are typed and not heard (`typedOnly` in `shared/note/species.ts`): their names stand in no automaton. A typed
 * name is read as a stand-in, a species of the automaton that was not said, and put back in what was read; the other way
 * round when a note is spoken.
 */
import { speciesByCode, spokenName, typedNames, typedOnly } from '../../shared/note/species.ts';

/** Any of them reads alike wherever a species may be said. */
const standIns = [531, 833, 316, 541, 762].map((code) => ({
  code,
  name: spokenName(speciesByCode(code)?.commonName ?? ''),
}));
type StandIn = (typeof standIns)[number];

const rareCodes = new Set(typedOnly.map(({ code }) => code));
/** Longest first: "blue gum" before "gum". */
const anyTyped = new RegExp(
  `\\b(${[...typedNames.keys()].sort((a, b) => b.length - a.length).join('|')})s?\\b`,
  'gi',
);

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
export function withTypedSpecies<T>(read: (text: string) => T): (text: string) => T {
  return (text) => {
    const found = [...new Set((text.match(anyTyped) ?? []).map((name) => name.toLowerCase()))];
    if (found.length === 0) return read(text);
    const free = standIns.filter(({ name }) => !text.toLowerCase().includes(name.split(' ').at(-1) ?? name));
    const pairs = found.flatMap((typed, at): { typed: string; code: number; by: StandIn }[] => {
      const code = typedNames.get(typed) ?? typedNames.get(typed.replace(/s$/, ''));
      const by = free[at];
      return code === undefined || by === undefined ? [] : [{ typed, code, by }];
    });
    const standing = text.replace(
      anyTyped,
      (name) => pairs.find(({ typed }) => typed === name.toLowerCase())?.by.name ?? name,
    );
    const species = new Map(pairs.map(({ code, by }) => [by.code, code]));
    const back = (told: string): string =>
      pairs.reduce((all, { typed, by }) => all.replaceAll(by.name, typed), told);
    return exchanged(read(standing), species, back);
  };
}

/** A note with its words, where it may hold a species that no pattern says. */
export function speakTyped<N>(note: N, speak: (note: N) => string | undefined): string | undefined {
  const codes = [...rareCodes].filter((code) => JSON.stringify(note).includes(`"species":${code}`));
  const [code] = codes;
  const [by] = standIns;
  if (code === undefined || codes.length > 1 || by === undefined) return undefined;
  const words = speak(exchanged(note, new Map([[code, by.code]]), (text) => text));
  return words?.replaceAll(by.name, spokenName(speciesByCode(code)?.commonName ?? ''));
}
