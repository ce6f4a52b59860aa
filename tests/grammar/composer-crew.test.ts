/** People, their settings, stands and their parts as they are told: sentences of our own crew and wood. */
import { describe, expect, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { keptOf } from '../support/typed.ts';

const person = (name: string): Note => ({ kind: 'setting', set: { what: 'person', name } });
const remark = (text: string): Note => ({ kind: 'remark', text });
const eye = (value: number, unit?: 'ft' | 'm' | 'cm'): Note => ({
  kind: 'setting',
  set: { what: 'eye', length: { value, ...(unit ? { unit } : {}) } },
});
const walk = (count: number, of: 'paces' | 'steps', value: number, unit: 'ft' | 'm' | 'chain'): Note => ({
  kind: 'setting',
  set: { what: 'walk', count, of, length: { value, unit } },
});
const units = (one: 'metres' | 'feet'): Note => ({ kind: 'setting', set: { what: 'units', units: one } });
const stand = (name: string): Note => ({ kind: 'stand', name });

describe('who measures is kept by the name, who helps in a remark', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ['Maren, on her own today', [person('maren')]],
    ['Ottilie on the callipers, Bram with the book', [person('bram'), remark('with ottilie')]],
    ['hi, Grandpa here with Lotte', [person('grandpa'), remark('with lotte')]],
    ['crew today is Odile and Sven, Odile is on the book', [person('odile'), remark('with sven')]],
    ["the little one's here, Pia, she's going to do one", [person('pia')]],
    ["my grandson's doing the next one, his name's Emil", [person('emil')]],
    ['Yusuf Brandt here, cruising today', [person('yusuf brandt')]],
    ['my neighbour Édith reads the next, her eye is 1.62 metres', [person('édith'), eye(1.62, 'm')]],
    ['my name is Zoë', [person('zoë')]],
    ['user is Rosa Halloran, U.S. feet and inches', [person('rosa halloran'), units('feet')]],
    ['Sven on, metric please, centimetres and metres', [person('sven'), units('metres')]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });

  test.each(['Raining here', 'Weird next one', 'Lunch here with Bram', 'Working here now'])(
    'nobody is called so: %s',
    (said) => {
      expect(JSON.stringify(keptOf(said) ?? [])).not.toContain('person');
    },
  );
});

describe('what is set, in other words', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ["162 centimetres, that's where my eyes are", [eye(162, 'cm')]],
    ["I'm five foot six, my eye's at five feet", [remark('i am five foot six'), eye(5, 'ft')]],
    ['I make a hundred and twenty double steps in two hundred metres', [walk(120, 'paces', 200, 'm')]],
    ['step length calibrated, 42 steps over 105 feet', [walk(42, 'steps', 105, 'ft')]],
    ['my pace is thirteen to the chain', [walk(13, 'paces', 1, 'chain')]],
    ['diameter in centimetres and height in metres', [units('metres')]],
    ['inches for the diameters, feet for the heights', [units('feet')]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});

describe('stands and their parts', () => {
  test.each<readonly [said: string, notes: readonly Note[]]>([
    ["I'm in Brenner's Wood", [stand("brenner's wood")]],
    ['we are at Alder Hollow', [stand('alder hollow')]],
    ['new job, call it Cedar Bottom', [stand('cedar bottom')]],
    ["woodlot's Ferry Hollow, block B", [stand('ferry hollow'), { kind: 'stratum', name: 'block b' }]],
    [
      'this is the Hatchet Run stand, about forty acres',
      [{ kind: 'stand', name: 'hatchet run', area: { value: 40, unit: 'acre' } }],
    ],
    ['starting in the Mill Creek stand, north side', [stand('mill creek'), remark('north side')]],
    ["we're on the creek side", [remark('we are on the creek side')]],
  ])('%s', (said, notes) => {
    expect(keptOf(said)).toEqual(notes);
  });
});
