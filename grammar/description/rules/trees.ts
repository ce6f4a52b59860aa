/** Trees: species, diameter, logs, what is wrong with it, and its height in the same breath. */
import type { Rule } from '../model.ts';

const family = 'Trees';

const logWords: readonly (readonly [words: string, logs: number])[] = [
  ['(no | zero) logs', 0],
  ['(half a log | a half log | one half log | zero point five logs)', 0.5],
  ['(one log | a log | one sawlog)', 1],
  ['(one and a half logs | one and one half logs | a log and a half | one point five logs)', 1.5],
  ...(['two', 'three', 'four', 'five', 'six', 'seven'] as const).flatMap((word, index) => [
    [`${word} [sixteen foot] (logs | log)`, index + 2] as const,
    [
      `(${word} and (a | one) half logs | ${word} logs and a half | ${word} point five logs)`,
      index + 2.5,
    ] as const,
  ]),
];

export const treeRules: readonly Rule[] = [
  { id: 'logs', patterns: logWords.map(([words, logs]) => `[with] ${words} {logs=${logs}} [in it]`) },
  {
    id: 'status',
    patterns: [
      '(dead | dead tree | snag | standing dead | dead standing | dead snag) {status=dead}',
      '(alive | live | living) {status=live}',
      '(cull | culled | cull tree) {status=cull}',
    ],
  },
  {
    id: 'diameterNumber',
    patterns: ['<n.below100:5..30> [<decimals> | and <n.fraction>]', '<decimalPair:5..30>'],
  },
  { id: 'inches', patterns: ['<diameterNumber:5..30> <inchUnit>'] },
  { id: 'dbh', patterns: ['dbh | diameter | d b h'] },
  /** A diameter that says what it is; girth when a plain tape went round. */
  {
    id: 'saidDiameter',
    patterns: [
      '<dbh> [is] <diameterNumber> [<inchUnit>] {diameter=#u}',
      '<inches> {diameter=#u} [<dbh> | through | thick | across | even | each | in diameter]',
      '<diameterNumber:5..30> {diameter=#u} <dbh>',
      '(girth | round | around | circumference) [is | of] <girthNumber> {diameter=#u} {diameter.girth=true}',
      '<girthNumber> {diameter=#u} (girth | round | around) {diameter.girth=true}',
    ],
  },
  { id: 'girthNumber', patterns: ['<spoken:20..90> [<inchUnit>]'] },
  /** One stem of several of one tree, forked below breast height. Drawn below twenty: "twenty eight" would be one stem. */
  {
    id: 'stem',
    patterns: ['<n.below100:5..19> [point {point} <n.decimal>] [<inchUnit>] {stems[]=#u}'],
  },
  {
    id: 'stems',
    patterns: [
      '(two stems | three stems | four stems | two trunks | three trunks | stems | trunks) [of] <stem+> [and <stem>]',
      '(other | second | third) (stem | trunk) [is] <stem>',
    ],
  },
  /** Where it stands: at the border, or on another plot. */
  {
    id: 'standing',
    patterns: [
      '(out | outside) {border=out} | in {border=in}',
      '([borderline] count [it] [as] half [a tree] | half [a] tree) {border=half}',
      'on plot <plainCount:1..60> {plot=#}',
    ],
  },
  {
    id: 'anyDiameter',
    patterns: ['[about | of | is | with | with a] (<saidDiameter> | <diameterNumber> {diameter=#u})'],
  },
  { id: 'formClassOf', patterns: ['form class [is] <n.below100:70..85> {formClass=#}'] },
  /** Defect and form class, in either order. */
  {
    id: 'loss',
    patterns: [
      '<defectAlone> [<formClassOf>]',
      '<formClassOf> [(defect | defective) [is] <small:5..50> [percent] {defect=#} | no defect {defect=0}]',
    ],
  },
  {
    id: 'defectAlone',
    patterns: [
      'no defect {defect=0}',
      '(defect | defective) [is] <small:5..50> percent {defect=#}',
      '(defect | defective) [is] <small:5..50> {defect=#}',
      '<small:5..50> [percent] (defect | defective) {defect=#}',
      '<small:5..50> percent (rotten | rot | unsound | cull) {defect=#}',
    ],
  },
  {
    id: 'merch',
    patterns: [
      '(merch | merchantable) [height | length] [to | of | is] <small:16..60> [feet {unit ft} | <metreUnit>] {merch=#u}',
    ],
  },
  { id: 'condition', patterns: ['[and | [and] with a] (<status> | <mark>)'] },
  /** What follows species and diameter. */
  { id: 'tail', patterns: ['([<logs> | <merch>] & [<condition+>]) [<loss>]'] },
  {
    id: 'someTail',
    patterns: [
      '(<logs> | <merch>) [<condition+>] [<loss>]',
      '<condition+> [<logs> | <merch>] [<loss>]',
      '<defectAlone> [<condition+>]',
      '<standing>',
    ],
  },
  /** A species begins a tree; its diameter may stand behind it or before it. */
  {
    id: 'named',
    patterns: [
      '[a | an | another | [a] (big | small | nice | large) | [a] dead {status=dead} | standing dead {status=dead} | live {status=live}] <species> [snag {status=dead}] [<anyDiameter>]',
    ],
  },
  {
    id: 'numberedFirst',
    patterns: [
      '<n.below100:2..9> {count=#} [more | small | big | large] <species> [<anyDiameter>]',
      '[a | an] <inches> {diameter=#u} [dead {status=dead}] <species>',
      '(<n.below100:5..30> <decimals> | <decimalPair:5..30>) {diameter=#u} <species>',
      '<dbh> [is] <diameterNumber> {diameter=#u} <species>',
    ],
  },
  /** The height in the same breath. Ways with more to say are notes of their own behind the tree. */
  {
    id: 'treeHeight',
    patterns: [
      // "Forked at thirty feet" is no distance.
      '(at (<height/paced> | <height/stepped>) | from <height/distanceBehind>) {height.method=stick} [<height/eye>]',
      '<height/distanceBehind> {height.method=stick} [<off>] [<height/eye>]',
      '(height | <height/device>) <spoken:30..130> [<feetUnit> | <metreUnit>] {height.takes[]=#u} {height.method=reading}',
      '<spoken:40..130> (<feetUnit> | <metreUnit>) {height.takes[]=#u} (tall | high) {height.method=reading}',
    ],
  },
  {
    id: 'trees.tree',
    family,
    help: 'A tree: species, diameter at breast height, logs, what is wrong with it; a height may follow in the same breath.',
    sets: ['kind=tree'],
    weight: 10,
    patterns: [
      "([next | next tree | new tree | [the] first (tree | one) [is] | next [up] is | next one [is] | next one's | this is | this one is | this one's | here is | here's] <facts/named> | [tally] <facts/numberedFirst>) [<facts/tail>] [<treeHeight> | (no | without) height]",
      'species <facts/species>',
    ],
    examples: [
      {
        words: 'red oak fourteen point two inches two and a half logs',
        note: { kind: 'tree', facts: { species: 833, diameter: { value: 14.2, unit: 'in' }, logs: 2.5 } },
      },
      {
        words: 'red oak fourteen two two logs eight paces',
        note: {
          kind: 'tree',
          facts: { species: 833, diameter: { value: 14.2 }, logs: 2 },
          height: { method: 'stick', distance: { by: 'paces', count: 8 } },
        },
      },
      {
        words: 'sugar maple fourteen inches dead',
        note: { kind: 'tree', facts: { species: 318, diameter: { value: 14, unit: 'in' }, status: 'dead' } },
      },
      {
        words: 'fourteen inch beech forked ten percent defect',
        note: {
          kind: 'tree',
          facts: { species: 'beech', diameter: { value: 14, unit: 'in' }, marks: ['forked'], defect: 10 },
        },
      },
      {
        words: 'three red maples six inches',
        note: { kind: 'tree', facts: { count: 3, species: 316, diameter: { value: 6, unit: 'in' } } },
      },
      { words: 'fir', note: { kind: 'tree', facts: { species: 'fir' } } },
    ],
  },
  {
    id: 'trees.facts',
    family,
    help: 'More of the tree in hand: its diameter or girth, logs, dead, forked, defect.',
    sets: ['kind=tree'],
    weight: 4,
    patterns: [
      '<facts/saidDiameter> [<facts/tail>] [<treeHeight>]',
      '<facts/diameterNumber> {facts.diameter=#u} <facts/someTail> [<treeHeight>]',
      '<facts/status> <facts/saidDiameter>',
      '<facts/stems>',
      "[it's | it is | [the | this] tree is | this one is | (it | tree | the tree) has [a] | it's got [a] | with a | (mark | call) it] <facts/someTail>",
    ],
    examples: [
      {
        words: 'girth forty four inches',
        note: { kind: 'tree', facts: { diameter: { value: 44, unit: 'in', girth: true } } },
      },
      { words: 'dead', note: { kind: 'tree', facts: { status: 'dead' } } },
      { words: 'two logs', note: { kind: 'tree', facts: { logs: 2 } } },
      { words: 'other stem is nine', note: { kind: 'tree', facts: { stems: [{ value: 9 }] } } },
      { words: 'ten percent defect', note: { kind: 'tree', facts: { defect: 10 } } },
      {
        words: 'fourteen two two logs',
        note: { kind: 'tree', facts: { diameter: { value: 14.2 }, logs: 2 } },
      },
    ],
  },
  {
    id: 'trees.hand',
    family,
    help: 'Takes an earlier tree in hand again by its number, or says that it is the same tree; its height may follow at once.',
    sets: ['kind=hand'],
    patterns: [
      '(for | on | back to | go to) tree [number] <plainCount:1..60> {tree=#}',
      '[for | on] tree [number] <plainCount:1..60> {tree=#} <handHeight>',
      '[the] same tree [again] [<handHeight>]',
    ],
    examples: [
      { words: 'back to tree two', note: { kind: 'hand', tree: 2 } },
      { words: 'same tree', note: { kind: 'hand' } },
      {
        words: 'tree two height ninety seven',
        note: { kind: 'hand', tree: 2, height: { method: 'reading', takes: [{ value: 97 }] } },
      },
      {
        words: 'for tree five twelve paces',
        note: {
          kind: 'hand',
          tree: 5,
          height: { method: 'stick', distance: { by: 'paces', count: 12 } },
        },
      },
    ],
  },
  {
    id: 'handHeight',
    patterns: [
      '(<height/paced> | <height/stepped>) {height.method=stick} [<height/eye>]',
      'height [is] <spoken:30..130> [<feetUnit> | <metreUnit>] {height.takes[]=#u} {height.method=reading}',
    ],
  },
  {
    id: 'trees.next',
    family,
    help: 'The tree in hand is done.',
    sets: ['kind=next'],
    patterns: [
      'next tree',
      'next',
      'next one',
      'tree done',
      "(tree is | tree's) done",
      'new tree',
      '(move on | moving on | on) to the next (tree | one)',
      "that's it for this tree",
    ],
    examples: [
      { words: 'next tree', note: { kind: 'next' } },
      { words: 'next', note: { kind: 'next' } },
      { words: 'new tree', note: { kind: 'next' } },
    ],
  },
  {
    id: 'trees.again',
    family,
    help: 'A tree like the last one: same species, same diameter.',
    sets: ['kind=again'],
    patterns: [
      'same again',
      'same thing [again]',
      'another one',
      'another',
      'one more',
      'same',
      'one more the same',
      'another the same',
      'another tree',
      'the same again',
      'same as [the] last [one]',
      '(another one | one more) like that',
      'ditto',
      '(another | same) [at | of] <facts/diameterNumber> [<inchUnit>] {facts.diameter=#u}',
      '<n.below100:2..9> {count=#} more (like that | just like that | like it | the same | of the same)',
    ],
    examples: [
      { words: 'same again', note: { kind: 'again' } },
      { words: 'another one', note: { kind: 'again' } },
      { words: 'another eighteen', note: { kind: 'again', facts: { diameter: { value: 18 } } } },
    ],
  },
];
