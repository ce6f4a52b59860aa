/** A remark in the middle of a breath: where it ends, and where it runs on. */
import { describe, expect, it, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { keptOf } from '../support/typed.ts';

/** Kinds of the notes, a remark by its words. */
const told = (words: string): readonly string[] | undefined =>
  keptOf(words)?.map((note: Note) => (note.kind === 'remark' ? note.text : note.kind));

describe('a clear note behind a comma is a note of its own', () => {
  test.each([
    ['ash 14, remark by the gate, oak 12', ['tree', 'by the gate', 'tree']],
    ['ash 14 remark hollow at base, next plot', ['tree', 'hollow at base', 'plot']],
    ['beech 12, note wasps nest, red maple 10, two logs', ['tree', 'wasps nest', 'tree']],
    ['beech 14, remark leaning on the oak, beech 12', ['tree', 'leaning on the oak', 'tree']],
    ['remark big rock, stream, old wall, beech 12', ['big rock stream old wall', 'tree']],
    ['beech 9, remark by the gate, height 62 feet', ['tree', 'by the gate', 'height']],
    [
      'remark old wall. beech 14. oak 12, remark bear den; next plot',
      ['old wall', 'tree', 'tree', 'bear den', 'plot'],
    ],
    ['remark deer path, how many trees', ['deer path', 'ask']],
    ['beech 20, remark photo 12, ash 14, dead', ['tree', 'photo twelve', 'tree']],
    ['ash 14, remark by the gate, close plot', ['tree', 'by the gate', 'plot']],
    ['remark spring here, eye five foot six', ['spring here', 'setting']],
  ])('%s', (words, kinds) => {
    expect(told(words)).toEqual(kinds);
  });
});

describe('what no clear note follows is one remark', () => {
  test.each([
    ['remark oak, ash and pine on the slope', ['oak ash and pine on the slope']],
    ['remark 3 oaks blown over, 2 pines snapped', ['three oaks blown over two pines snapped']],
    ['beech 14, remark witness tree, tag 12', ['tree', 'witness tree tag twelve']],
    ['beech 14, remark fork at twenty feet, two logs', ['tree', 'fork at twenty feet two logs']],
    ['beech 9, remark by the gate, eight paces', ['tree', 'by the gate eight paces']],
    ['remark mostly oak, some ash, wet ground', ['mostly oak some ash wet ground']],
  ])('%s', (words, kinds) => {
    expect(told(words)).toEqual(kinds);
  });

  it('a list of trees that somebody tells in a remark stays in it', () => {
    expect(told('remark nearby oak 30, ash 22')).toEqual(['nearby oak thirty ash twenty two']);
    expect(told('remark here stood hemlock 30, cut last year')).toEqual([
      'here stood hemlock thirty cut last year',
    ]);
  });
});

it('a remark needs no comma before its word', () => {
  expect(told('beech 14 remark wasps nest up high')).toEqual(['tree', 'wasps nest up high']);
});
