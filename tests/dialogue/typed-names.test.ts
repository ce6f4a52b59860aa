/**
 * Trees that are called by another name than the description has, typed. Which name goes with which tree: common practice, no
 * source; numbers of FIA and symbols of PLANTS: from memory.
 */
import { describe, expect, it, test } from 'vitest';
import { withTypedSpecies } from '../../grammar/description/typed-species.ts';
import {
  european,
  more,
  species,
  speciesByCode,
  speciesNames,
  speciesOfNickname,
  spokenName,
  typedNames,
  typedOnly,
} from '../../shared/note/species.ts';
import { converse } from '../support/conversation.ts';
import { understandTyped } from '../support/typed.ts';

const understand = withTypedSpecies(understandTyped);
const first = async (...lines: string[]): Promise<string | undefined> => {
  const one = await converse({ understand });
  await one.say(...lines);
  const [tree] = one.session.book.trees();
  return tree?.species === null || tree === undefined
    ? undefined
    : speciesByCode(tree.species)?.scientificName;
};

describe('a name of the trade is that tree', () => {
  test.each([
    ['trembling aspen ten', 'Populus tremuloides'],
    ['quaking aspen ten', 'Populus tremuloides'],
    ['yellow cedar twenty two', 'Callitropsis nootkatensis'],
    ['Alaska cedar twenty two', 'Callitropsis nootkatensis'],
    ['Nootka cypress twenty two', 'Callitropsis nootkatensis'],
    ['amabilis fir thirty', 'Abies amabilis'],
    ['shore pine ten', 'Pinus contorta'],
    ['littleleaf linden twelve', 'Tilia cordata'],
    ['narrowleaf cottonwood twenty', 'Populus angustifolia'],
    ['ashe juniper nine', 'Juniperus ashei'],
    ['pond cypress fourteen', 'Taxodium ascendens'],
    ['scrub oak five', 'Quercus ilicifolia'],
    ['bear oak five', 'Quercus ilicifolia'],
    ['wild service tree fourteen', 'Sorbus torminalis'],
    ['service tree fourteen', 'Sorbus domestica'],
    ['curlleaf mountain mahogany seven', 'Cercocarpus ledifolius'],
    ['singleleaf pinyon nine', 'Pinus monophylla'],
    ['Manitoba maple fifteen', 'Acer negundo'],
    ['Torrey pine twenty', 'Pinus torreyana'],
    ['green alder four', 'Alnus alnobetula'],
    ['green ash fourteen', 'Fraxinus pennsylvanica'],
  ])('%s', async (words, latin) => {
    expect(await first(words)).toBe(latin);
  });

  it('green is a colour of a name, and else says that a tree lives', async () => {
    const one = await converse({ understand });
    expect(await one.say('green ash 14, dead')).toContain('green ash, 14 inches, dead');
    expect(await one.say('green beech 12')).toContain('American beech, 12 inches');
  });

  it('turkey oak is an American one for who works in feet, and a European one in metres', async () => {
    expect(await first('turkey oak nine')).toBe('Quercus laevis');
    expect(await first('metric', 'turkey oak twenty nine')).toBe('Quercus cerris');
    expect(await first('region europe', 'turkey oak nine')).toBe('Quercus cerris');
  });
});

describe('the list of names', () => {
  it('has no number and no symbol twice', () => {
    const all = [...species, ...more, ...european, ...typedOnly];
    expect(new Set(all.map(({ code }) => code)).size).toBe(all.length);
    const symbols = all.flatMap(({ symbol }) => (symbol === null ? [] : [symbol]));
    expect(symbols.filter((one, at) => symbols.indexOf(one) !== at)).toEqual([]);
  });

  it('reads every full name that is typed as its tree', () => {
    const wrong = typedOnly.filter(({ code, commonName }) => {
      const read = understand(`${spokenName(commonName)} 14 inches`);
      const [note] = read.ok ? read.value[0]!.notes : [];
      return note?.kind !== 'tree' || note.facts.species !== code;
    });
    expect(wrong.map(({ commonName }) => commonName).filter((name) => !/turkey oak$/i.test(name))).toEqual(
      [],
    );
  });

  it('leaves a name of the ear whole where a typed one stands in it', () => {
    const within = speciesNames.filter((name) =>
      [...typedNames.keys()].some((typed) => ` ${name} `.includes(` ${typed} `)),
    );
    expect(within.length).toBeGreaterThan(3);
    for (const name of within) {
      const read = understand(`${name} 14 inches`);
      const [note] = read.ok ? read.value[0]!.notes : [];
      const said = note?.kind === 'tree' ? note.facts.species : undefined;
      expect([name, ...speciesOfNickname(name)], name).toContain(said);
    }
  });
});
