/**
 * Whoever works in metres is answered in metres, centimetres, hectares and cubic metres, whatever is asked; board feet and
 * cords alone keep their names, by the hectare. By hand: with a factor of 2 every tree that is in stands for 2 square metres
 * a hectare; a tree of 32 cm has 0.0804 square metres, so that 1 is 24.9 trees; volume is 0.42 x basal area x height
 * (the composite form factor), here 0.42 x 2 x 31.6.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';

const imperial = /\b(acres?|foot|feet|inch|inches|tons|pounds)\b/i;
const named = /\bboard feet\b/g;

describe('a metric morning', () => {
  let talk: Conversation;
  beforeAll(async () => {
    talk = await converse();
    await talk.say('eye one point six metres', 'pace one point five metres', 'plot one factor two');
    await talk.say('beech thirty two', 'twenty paces', 'two logs');
  });

  test('begins with a metric eye or pace', () => {
    expect(talk.session.settings.units).toBe('metres');
  });

  test('reads a factor in square metres a hectare, and a diameter in centimetres', async () => {
    expect([...talk.session.book.plots()][0]?.size).toMatchObject({ value: 2, unit: 'm2/ha' });
    expect(await talk.say('basal area')).toBe('2 square metres a hectare.');
    expect(await talk.say('trees per acre')).toBe('25 trees a hectare.');
  });

  test('tells volume in cubic metres unless a log rule is named', async () => {
    expect(await talk.say('volume per acre')).toBe('27 cubic metres a hectare.');
    expect(await talk.say('volume per acre by doyle')).toMatch(/board feet a hectare by Doyle/);
    expect(await talk.say('volume')).toMatch(/^27 cubic metres a hectare\. An area is missing/);
  });

  const asked = [
    'basal area',
    'how many trees',
    'trees per acre',
    'volume',
    'volume per acre',
    'volume per acre by doyle',
    'cubic volume',
    'cords',
    'biomass',
    'carbon',
    'mean height',
    'lorey',
    'top height',
    'mean diameter',
    'quadratic diameter',
    'totals',
    'settings',
    'why',
    'how sure are you',
    'this plot',
    'this tree',
    'tallest tree',
    'thickest tree',
    'what is my pace',
    'what is my eye',
    'sampling error',
    'how many more plots for ten percent',
    'basal area by species',
    'what share is beech',
    'what was tree one',
    'list the trees',
    'any doubts',
    'spread',
    'how tall should it be',
    'plot two five hundred square metres',
    'plot three',
    'slope thirty percent',
    'takes twenty twenty one thirty five',
    'pine thirty',
    'laser three hundred',
    'no',
    'ten paces in four metres',
    'eye height three metres',
    'twenty paces in sixteen metres',
    'paces',
    'close plot',
    'slope ten percent',
    'plot nine',
    'undo',
    'scratch that',
    'plot eight one hectare',
    'stand alder hollow, four hectares',
    'stratum ridge ten hectares',
    'plot ten five hectares',
    'beech thirty, centre at five metres, in or out',
    'start a traverse',
    'bearing eighty, sixty paces',
    'read back the legs',
    'how many acres',
    'trees by plot',
  ];

  test.each(asked)('answers "%s" without an acre, a foot or an inch', async (words) => {
    const { answer, detail } = await talk.tell(words);
    expect(answer.reply.replace(named, '')).not.toMatch(imperial);
    // What a figure comes from may be of other units: formulas and their sources.
    const told = (detail ?? '').split('\n').filter((line) => !/Source|Supposed error/.test(line));
    for (const line of told) expect(line.replace(named, '')).not.toMatch(imperial);
  });
});

describe('a book in feet', () => {
  test('answers by the hectare where that is asked', async () => {
    const talk = await converse();
    await talk.say('plot one factor ten', 'red oak sixteen');
    expect(await talk.say('basal area')).toBe('10 square feet an acre.');
    // 10 square feet an acre are 10 / 4.356 square metres a hectare.
    expect(await talk.say('basal area per hectare')).toBe('2.3 square metres a hectare.');
  });
});
