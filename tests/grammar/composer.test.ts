/** Typed words in no sentence of the description: put together from their pieces, in any order, or asked about. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Note, noteSchema } from '../../shared/note/note.ts';
import { reader } from '../support/language.ts';
import { keptOf, understandTyped } from '../support/typed.ts';

function plain(text: string): readonly Note[] {
  const read = reader.read(text);
  if (!read.ok) throw new Error(`${text}: ${read.error.message}`);
  return read.value[0]!.notes;
}

/** Our own sentences, each with the plain one that means the same. */
const sayings: readonly (readonly [
  title: string,
  rows: readonly (readonly [said: string, plain: string])[],
])[] = [
  [
    'a tree, its parts in any order',
    [
      ['and another one here, a red maple of eleven inches', 'red maple eleven inches'],
      [
        "red oak, there's three logs in her and she's 19 inches across",
        'red oak nineteen inches, three logs',
      ],
      ['six beeches, each nine inches', 'six beeches nine inches'],
      ['an oak of some sort, 13 inches', 'oak thirteen inches'],
      ["white oak 19, it's died, still on its feet", 'white oak nineteen dead'],
      ['sugar maple with a girth of a metre and a half', 'sugar maple, girth one hundred fifty centimetres'],
    ],
  ],
  [
    'what is told of a tree in free words is a remark on it, its numbers no measure',
    [
      [
        'white pine eighteen inches, forked at thirty feet',
        'white pine eighteen inches forked, remark forked at thirty feet',
      ],
      ['the holly is pruned to about two metres', 'for the holly, remark pruned to about two metres'],
      ["the third beech has a hornets' nest", 'for the third beech, remark hornets nest'],
      ['last one leans', 'leaning'],
      ['black oak sixteen, half blown over but alive', 'black oak sixteen alive, remark half blown over'],
    ],
  ],
  [
    'several trees told together',
    [
      ['black cherry and holly, three inches and five', 'black cherry three inches, holly five inches'],
      [
        'grand fir 16, grand fir 14, both 80 ft tall',
        'grand fir 16, height 80 ft, grand fir 14, height 80 ft',
      ],
      ['three more trees, beech 12, ash 9 and beech 15', 'beech 12, ash 9, beech 15'],
      ['3x red maple 9 11 12.5', 'red maple nine, red maple eleven, red maple twelve and a half'],
      ['beech, twelve, beech, fourteen, beech nine', 'beech twelve, beech fourteen, beech nine'],
      ['beech 12, beech 13 (2 logs), holly 9', 'beech twelve, beech thirteen two logs, holly nine'],
      ['beech 31, 29 and a dead one 24', 'beech thirty one, beech twenty nine, beech twenty four dead'],
      ['another holly, five, and a dead one at 4', 'holly five, holly four dead'],
      ['balsam fir five, dead, balsam fir six, live', 'balsam fir five dead, balsam fir six alive'],
    ],
  ],
  [
    'a height, its parts in any order',
    [
      [
        'elevation forty degrees, depression three, distance sixty feet',
        'top forty degrees base minus three at sixty feet',
      ],
      [
        'thirty metres along the ground, minus ten degrees, top 35',
        'slope distance thirty metres at minus ten degrees top thirty five degrees base minus ten',
      ],
      ['ninety feet away, 64% up and 5% down', 'top sixty four percent base minus five at ninety feet'],
      [
        '44 degrees to the tip and minus three to the butt, 20 metres off',
        'top forty four degrees base minus three at twenty metres',
      ],
      [
        'turned the stick flat and its tip hit the ground 19 paces from the trunk',
        'stick laid down nineteen paces',
      ],
    ],
  ],
  [
    'plots',
    [
      ['picking up and moving to the next stop', 'close plot, next plot'],
      ["we're finished on this one, go to two", 'close plot, plot two'],
      ['stop 4: beech 12, two logs', 'plot four, beech twelve, two logs'],
    ],
  ],
  ['corrections as they are made', [['beech eleven, three logs no wait two', 'beech eleven, two logs']]],
];

describe.each(sayings)('%s', (_, rows) => {
  test.each(rows)('%s', (said, same) => {
    expect(keptOf(said)).toEqual(plain(same));
  });
});

describe('what tells something is never dropped', () => {
  test.each([
    'ninety feet away, 64% up and 5% down, zibbered',
    'red oak 14 with a blorpish frindle',
    'red oak fourteen, not',
    'that was close',
    'quiet down over there',
    'the beech is not dead fourteen',
  ])('never kept in silence: %s', (words) => {
    expect(keptOf(words)).toBeUndefined();
  });

  test('where a tree stands is kept as it was told', () => {
    expect(keptOf('the old walnut by the smithy, 98 inches around')?.at(-1)).toEqual({
      kind: 'remark',
      text: 'by the smithy',
    });
  });
});

test('a length told of a size is its height, another size its diameter', () => {
  const hand = { kind: 'hand', which: { diameter: 14 } };
  expect(keptOf('that fourteen is 70 feet')).toEqual([
    hand,
    { kind: 'height', height: { method: 'reading', takes: [{ value: 70, unit: 'ft' }] } },
  ]);
  expect(keptOf("that fourteen's actually a beech")).toEqual([
    hand,
    { kind: 'change', facts: { species: 'beech' } },
  ]);
  expect(keptOf('holly 14 is 15')).toEqual([
    { kind: 'hand', which: { species: 'holly', diameter: 14 } },
    { kind: 'change', facts: { diameter: { value: 15 } } },
  ]);
});

describe('laws', () => {
  const species = fc.constantFrom('red oak', 'beech', 'sugar maple', 'white ash', 'black cherry');
  const diameter = fc.integer({ min: 7, max: 30 });
  const logs = fc.integer({ min: 1, max: 4 });
  const light = fc.constantFrom('well', 'now', 'here', 'right', 'and so', 'okay');

  test('light words between the clauses change no note', () => {
    fc.assert(
      fc.property(species, diameter, logs, light, light, (name, inches, many, one, other) => {
        const said = `${one} a ${name} here, ${inches} inches, ${other} ${many} ${many === 1 ? 'log' : 'logs'}`;
        const notes = keptOf(said);
        const facts = notes?.map((note) => (note.kind === 'tree' ? note.facts : {}));
        if (facts === undefined) return;
        expect(Object.assign({}, ...facts)).toMatchObject({
          diameter: { value: inches, unit: 'in' },
          logs: many,
        });
        expect(
          notes!.filter((note) => note.kind === 'tree' && note.facts.species !== undefined),
        ).toHaveLength(1);
      }),
    );
  });

  test('the clauses of a tree in another order give the same facts, or a question', () => {
    fc.assert(
      fc.property(
        species,
        diameter,
        logs,
        fc.shuffledSubarray([0, 1, 2], { minLength: 3 }),
        (name, inches, many, order) => {
          const clauses = [
            `a ${name}`,
            `${inches} inches across`,
            `${many} ${many === 1 ? 'log' : 'logs'} in it`,
          ];
          const notes = keptOf(order.map((at) => clauses[at]).join(', '));
          for (const note of notes ?? []) {
            expect(noteSchema.safeParse(note).success).toBe(true);
            if (note.kind !== 'tree') continue;
            expect(note.facts.diameter?.value ?? inches).toBe(inches);
            expect(note.facts.logs ?? many).toBe(many);
          }
        },
      ),
    );
  });
});

describe('what may mean another', () => {
  test('how sure a sum is asks for its error, not for that of the last height', () => {
    const error = { kind: 'ask', about: 'samplingError' };
    expect(keptOf('how sure are we about the total')).toEqual([error]);
    expect(keptOf('how far off could the basal area be')).toEqual([{ ...error, of: 'basalArea' }]);
    expect(keptOf('how much can i trust the total volume')).toEqual([{ ...error, of: 'volumePerAcre' }]);
  });

  test('nothing is offered to be taken back where a word that is left over may tell which', () => {
    for (const said of ['take back the third from the end', 'scratch what stood before that fork']) {
      const read = understandTyped(said);
      const notes = read.ok ? read.value.flatMap((one) => one.notes) : [];
      expect(
        notes.map(({ kind }) => kind),
        said,
      ).not.toContain('scratch');
    }
  });
});
