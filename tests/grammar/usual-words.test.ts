/** Typed words that are said the usual way before they are read. Wordings are our own. */
import { describe, expect, it, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { inUsualWords } from '../../grammar/reading/usual-words.ts';
import { automaton } from '../support/language.ts';

const understand = createUnderstanding(automaton, grammar);
const notes = (said: string): unknown => {
  const read = understand(said);
  return read.ok && read.value[0]?.posterior === 1 && read.value.length === 1 ? read.value[0].notes : read;
};
const paced = (count: number) => ({ method: 'stick', distance: { by: 'paces', count } });

describe('paces and a stick at 45 degrees', () => {
  it.each([
    'thirty one paces out with the stick at 45',
    '31 paces with my stick held at 45 degrees',
    '31 paces on the stick',
    'stick at 45, 31 paces',
    'stick at forty five degrees, 31 paces',
  ])('%s', (said) => {
    expect(notes(said)).toEqual([{ kind: 'height', height: paced(31) }]);
  });

  it('leaves a length that is no angle', () => {
    expect(notes('stick at 45 feet')).toEqual([
      {
        kind: 'height',
        height: { method: 'stick', distance: { by: 'length', length: { value: 45, unit: 'ft' } } },
      },
    ]);
  });

  it('goes on behind it', () => {
    expect(notes('red maple, forty paces on the stick')).toEqual([
      { kind: 'tree', facts: { species: 316 }, height: paced(40) },
    ]);
  });
});

test.each([
  ['point one', 'plot one'],
  ['its Dena', "it's Dena"],
  ['its bark is loose', 'its bark is loose'],
  ['81 w the laser', '81 with the laser'],
  ['beech, leans a lot', 'beech, leans much'],
  ['the Dorsey lot', 'the Dorsey lot'],
  ['plot two, nothing but poplar', 'plot two, only poplar'],
  ['a w shaped fork', 'a w shaped fork'],
  ['25 metres for the height', '25 metres for the height'],
  ['beech 14, 12 cm for the dbh', 'beech 14, 12 cm for the dbh'],
])('"%s" is "%s"', (said, usual) => {
  expect(inUsualWords(said)).toBe(usual);
});

it.each([
  ['metric please, cm for the diameters and metres for height', 'metres'],
  ['centimetres for dbh', 'metres'],
  ['inches for diameters, feet for heights', 'feet'],
  ['enough feet, metric now please', 'metres'],
  ['no more feet and inches, metric from here', 'metres'],
  ["metric please, I'm done with feet", 'metres'],
  ['enough of metres, feet and inches now', 'feet'],
])('units: %s', (said, units) => {
  expect(notes(said)).toEqual([{ kind: 'setting', set: { what: 'units', units } }]);
});

it('what somebody did is no place', () => {
  expect(JSON.stringify(notes("Jo's gone back to the truck so just me now"))).not.toContain('"stand"');
});

it('a tree that nobody told is not offered', () => {
  expect(JSON.stringify(understand('oak 61, bit of a lean and crooked, maybe one log'))).not.toContain('18');
});

// Codes as in the table of species.
it.each([
  ['big leaf maple 10', 312],
  ['Big-leaf maple 10', 312],
  ['big tooth aspen 10', 743],
  ['WF 10', 15],
  ['ic 10', 81],
])('a name in other letters: %s', (said, species) => {
  expect(notes(said)).toEqual([{ kind: 'tree', facts: { species, diameter: { value: 10 } } }]);
});
