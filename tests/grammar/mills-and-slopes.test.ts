/** Typed words for the rule of a mill, for uphill, for other units and for speaking slower. Wordings are our own. */
import { expect, it } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { automaton } from '../support/language.ts';

const understand = createUnderstanding(automaton, grammar);
const surely = (said: string): unknown => {
  const read = understand(said);
  return read.ok && read.value.length === 1 && read.value[0]!.posterior === 1 ? read.value[0]!.notes : read;
};

it.each([
  ['the mill goes by doyle', 'doyle'],
  ['use doyle for everything', 'doyle'],
  ['our mill scales international', 'international'],
  ['the mill pays on scribner', 'scribner'],
  ['the sawmill uses scribner', 'scribner'],
])('"%s" is the rule from now on', (said, rule) => {
  expect(surely(said)).toEqual([{ kind: 'setting', set: { what: 'logRule', rule } }]);
});

it('a volume by a rule sets none', () => {
  expect(surely('volume by doyle')).toEqual([{ kind: 'ask', about: 'volume', rule: 'doyle' }]);
});

it.each(["don't use doyle", 'the mill never uses doyle'])('"%s" sets nothing for sure', (said) => {
  expect(JSON.stringify(surely(said))).not.toMatch(/^\[\{"kind":"setting"/);
});

it('where one stands on a slope says nothing beside both angles', () => {
  expect(surely("sugar maple, I'm upslope, 66 feet, tip at plus 18 and the base minus 27 degrees")).toEqual(
    surely('sugar maple, 66 feet, tip at plus 18 and the base minus 27 degrees'),
  );
});

it('other units and a slower voice', () => {
  expect(surely('go over to metres please')).toEqual([
    { kind: 'setting', set: { what: 'units', units: 'metres' } },
  ]);
  expect(surely('not so fast')).toEqual([{ kind: 'control', op: 'slower' }]);
});
