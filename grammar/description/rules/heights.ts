/** Ways to a height without angles: the stick in its forms, pole, shadow, a device's reading. */
import type { Rule } from '../model.ts';

const family = 'Heights';

export const heightRules: readonly Rule[] = [
  {
    id: 'heights.stick',
    family,
    help: 'A stick as long as your reach, held upright at eye level, tip on the top: the height is your distance plus your eye height.',
    sets: ['kind=height', 'height.method=stick'],
    weight: 10,
    patterns: [
      '[[equal] stick [method] | [the] distance [is] | about | [i] (walked | took | paced | counted | got) [off | out | back] | standing [at] | roughly] <height/distance> [<off> | more or less | give or take | or so] [[and] <stickMeets>] [[with | and] <height/eye>] [<height/base>] [<height/lean>]',
      '<stickMeets> (at | from) <height/distance> [<off>] [[with | and] <height/eye>]',
      '<height/base> [and] <height/distance> [<off>] [[with | and] <height/eye>]',
      // "It is ninety two feet" may be the tree, "I'm five foot ten" the person: only paces follow these at once.
      "((i am | i'm) [standing] | it's | it is | call it | it came to | at) [about] (<height/paced> | <height/stepped>) [<off>] [[with | and] <height/eye>]",
      "((i am | i'm) [standing] | it's | it is) [about] <height/farOff> [[with | and] <height/eye>]",
      '[[equal] stick] <height/eyeBefore> <height/distance> [<height/base>] [<height/lean>]',
      '<height/pacedCount> [[with] <height/eye>]',
      '<height/slopeDistance> [<height/eye>]',
      '(stick | distance) <measured:20..130> {height.distance.length=#u} {height.distance.by=length} [<height/eye>]',
    ],
    examples: [
      {
        words: 'eight paces eye five and a half',
        note: {
          kind: 'height',
          height: { method: 'stick', distance: { by: 'paces', count: 8 }, eye: { value: 5.5 } },
        },
      },
      {
        words: 'stick eleven and a half paces',
        note: { kind: 'height', height: { method: 'stick', distance: { by: 'paces', count: 11.5 } } },
      },
      {
        words: 'forty two feet eye five foot six',
        note: {
          kind: 'height',
          height: {
            method: 'stick',
            distance: { by: 'length', length: { value: 42, unit: 'ft' } },
            eye: { value: 5.5, unit: 'ft' },
          },
        },
      },
      {
        words: 'taped twelve point eight metres eye one sixty five',
        note: {
          kind: 'height',
          height: {
            method: 'stick',
            distance: { by: 'length', length: { value: 12.8, unit: 'm' }, taped: true },
            eye: { value: 165 },
          },
        },
      },
      {
        words: 'eye five six twelve paces base four feet below me',
        note: {
          kind: 'height',
          height: {
            method: 'stick',
            distance: { by: 'paces', count: 12 },
            eye: { value: 5.5, unit: 'ft' },
            base: { by: 'feet', length: { value: 4, unit: 'ft' }, side: 'below' },
          },
        },
      },
    ],
  },
  {
    id: 'way.spans',
    sets: ['height.method=spans'],
    patterns: [
      '([the] stick ([just] (spans | fits | matches) | covers) | it spans | spans | <stickAndArm> spans) [it | the [whole] tree] [[from] base to top | [from] top to base] [at | from] <height/distance> [<height/lean>]',
      '[the] stick just covers the [whole] tree [[from] base to top | [from] top to base] [at | from] <height/distance> [<height/lean>]',
      '((stick | it) spans | <stickAndArm> spans) [at] <spoken:40..130> {height.distance.length=#u} {height.distance.by=length}',
    ],
  },
  {
    id: 'heights.spans',
    family,
    help: 'The stick covers the tree, base to top: no eye height added. Say stick and arm when they differ.',
    sets: ['kind=height'],
    weight: 2,
    patterns: ['<way.spans>'],
    examples: [
      {
        words: 'stick spans seventy feet',
        note: {
          kind: 'height',
          height: { method: 'spans', distance: { by: 'length', length: { value: 70, unit: 'ft' } } },
        },
      },
      {
        words: 'stick twenty four arm twenty seven spans seventy feet',
        note: {
          kind: 'height',
          height: {
            method: 'spans',
            distance: { by: 'length', length: { value: 70, unit: 'ft' } },
            stick: { value: 24 },
            arm: { value: 27 },
          },
        },
      },
      {
        words: 'stick spans the tree at thirteen paces',
        note: { kind: 'height', height: { method: 'spans', distance: { by: 'paces', count: 13 } } },
      },
    ],
  },
  {
    id: 'heights.covers',
    family,
    help: 'A stick that covers the tree may stand at eye level or span it from its base: I ask which.',
    sets: ['kind=height'],
    weight: 0,
    patterns: ['<coversIt> {height.method=stick}', '<coversIt> {height.method=spans}'],
  },
  {
    id: 'coversIt',
    patterns: [
      '[[i] (walked | paced | taped) [off | out | back]] <height/distance> [<off>] [and] [the | my] stick [just] (covers | covered) it [exactly]',
      '[the | my] stick (just covers it | just covered it | covered it | covers it exactly) [at | from] <height/distance> [<off>]',
    ],
  },
  /** The tip of the stick is on the top of the tree, its lower end at eye level. */
  {
    id: 'stickMeets',
    patterns: [
      '[the | my | and the] stick (lines up | meets it | meets the (top | tip) | on the (top | tip) | touches the (top | tip))',
    ],
  },
  {
    id: 'stickAndArm',
    patterns: [
      '([[and] the | and] stick [is] <plainLength:18..36> {height.stick=#u} & [[and] the | and | my] (arm | reach) [is] <plainLength:20..32> {height.arm=#u})',
      '[[with] a] <small:18..36> (inch {unit in} | foot {unit ft}) stick {height.stick=#u} [and] [a] <small:20..32> (inch {unit in} | foot {unit ft}) (arm | reach) {height.arm=#u}',
    ],
  },
  {
    id: 'plainLength',
    patterns: ['<small> [<inchUnit> | <feetUnit> | <metreUnit>]'],
  },
  {
    id: 'way.ratio',
    sets: ['height.method=ratio'],
    patterns: [
      '<stickAndArm> <height/from> [<off>] [<height/eye>] [<height/baseOnFoot>]',
      '<stickAndArm> <height/eyeBefore> <height/from>',
    ],
  },
  {
    id: 'heights.ratio',
    family,
    help: 'A stick of another length than your reach, lower end at eye level: height is eye plus stick over arm times distance.',
    sets: ['kind=height'],
    patterns: ['<way.ratio>'],
    examples: [
      {
        words: 'stick twenty four inches arm twenty seven inches sixty six feet eye five and a half',
        note: {
          kind: 'height',
          height: {
            method: 'ratio',
            distance: { by: 'length', length: { value: 66, unit: 'ft' } },
            stick: { value: 24, unit: 'in' },
            arm: { value: 27, unit: 'in' },
            eye: { value: 5.5 },
          },
        },
      },
      {
        words: 'stick twenty four arm twenty seven at twelve paces',
        note: {
          kind: 'height',
          height: {
            method: 'ratio',
            distance: { by: 'paces', count: 12 },
            stick: { value: 24 },
            arm: { value: 27 },
          },
        },
      },
      {
        words: 'arm sixty centimetres stick fifty centimetres eye one point six metres from eighteen metres',
        note: {
          kind: 'height',
          height: {
            method: 'ratio',
            distance: { by: 'length', length: { value: 18, unit: 'm' } },
            stick: { value: 50, unit: 'cm' },
            arm: { value: 60, unit: 'cm' },
            eye: { value: 1.6, unit: 'm' },
          },
        },
      },
    ],
  },
  {
    id: 'laidDown',
    patterns: [
      '[i] (stick down | [the] stick ((laid | folded | turned | swung) down | laid (over | flat)) | (laid | folded | turned) [the stick | it] (down | over | flat) [sideways])',
    ],
  },
  {
    id: 'way.laid',
    sets: ['height.method=laid'],
    patterns: [
      '<laidDown> [[and] [the] tip (landed | came to [the] ground | hit the ground | points)] [at | to] <height/distance> [<off> | to where (it | the tip) (fell | landed | points)]',
      '[the] tip [of the stick] (swung | turned | folded | laid) down [at | to] <height/distance> [<off>]',
      'laid [it] down [at] <spoken:40..130> {height.distance.length=#u} {height.distance.by=length}',
    ],
  },
  {
    id: 'heights.laid',
    family,
    help: 'The stick turned down to the ground: the height is the walk from the stem to where its tip points.',
    sets: ['kind=height'],
    patterns: ['<way.laid>'],
    examples: [
      {
        words: 'laid down sixty one feet',
        note: {
          kind: 'height',
          height: { method: 'laid', distance: { by: 'length', length: { value: 61, unit: 'ft' } } },
        },
      },
      {
        words: 'stick laid down fourteen paces',
        note: { kind: 'height', height: { method: 'laid', distance: { by: 'paces', count: 14 } } },
      },
      {
        words: 'laid down at eighteen point five metres',
        note: {
          kind: 'height',
          height: { method: 'laid', distance: { by: 'length', length: { value: 18.5, unit: 'm' } } },
        },
      },
    ],
  },
  {
    id: 'way.pole',
    sets: ['height.method=pole'],
    patterns: [
      '((pole | mark) [is | at | of] <plainLength:4..12> | [a | with a] <small:4..12> (foot {unit ft} | metre {unit m} | meter {unit m}) pole) {height.pole=#u} [and] [[the] pole | it] reads <small:1..9> {height.poleReads=#} [and] [the] tree reads <spoken:10..60> {height.treeReads=#}',
      '<poleHeight> [[held | stood] (at | against) the (base | tree | stem | trunk) | beside it | beside the tree] [and] <poleGoes>',
      '[the] tree reads <spoken:10..60> {height.treeReads=#} [and] [the] pole reads <small:1..9> {height.poleReads=#} [and] [the] pole is <plainLength:4..12> {height.pole=#u}',
      '[the] pole reads <small:1..9> {height.poleReads=#} [and] [the] tree reads <spoken:10..60> {height.treeReads=#} [and] [the] pole is <plainLength:4..12> {height.pole=#u}',
    ],
  },
  {
    id: 'heights.pole',
    family,
    help: 'A pole of known height at the stem: pole and tree read on a held scale.',
    sets: ['kind=height'],
    patterns: ['<way.pole>'],
    examples: [
      {
        words: 'pole six feet reads two tree reads nineteen',
        note: {
          kind: 'height',
          height: { method: 'pole', pole: { value: 6, unit: 'ft' }, poleReads: 2, treeReads: 19 },
        },
      },
      {
        words: 'tree reads nineteen pole reads two pole is six feet',
        note: {
          kind: 'height',
          height: { method: 'pole', pole: { value: 6, unit: 'ft' }, poleReads: 2, treeReads: 19 },
        },
      },
      {
        words: 'pole is two metres pole reads one and a half and the tree reads fifteen',
        note: {
          kind: 'height',
          height: { method: 'pole', pole: { value: 2, unit: 'm' }, poleReads: 1.5, treeReads: 15 },
        },
      },
    ],
  },
  /** How often a pole at the stem goes into the tree: the pole counts one. */
  {
    id: 'poleGoes',
    patterns: [
      '[it | the tree | that] (goes | fits | goes up | goes in | is | takes) [about] <small:4..12> {height.treeReads=#} {height.poleReads=1} (times | of them | poles | pole lengths)',
      '[about] <small:4..12> {height.treeReads=#} {height.poleReads=1} (times | of them | poles | pole lengths)',
    ],
  },
  {
    id: 'shadowLength',
    patterns: ['<spoken> [<feetUnit> | <metreUnit> | <inchUnit>]', '<wholeSpoken> <feetInches>'],
  },
  {
    id: 'treeShadow',
    patterns: [
      "([[the] tree | the | [the] tree's] shadow [is | of] | [the] shadow of (the | this) tree [is]) <shadowLength:10..120> {height.shadow=#u}",
    ],
  },
  {
    id: 'poleHeight',
    patterns: [
      '[the] (pole | stick | staff) [is | of] <shadowLength:3..12> {height.pole=#u}',
      '[a | my | the] <small:3..12> (foot {unit ft} | metre {unit m} | meter {unit m}) [range] (pole | stick | staff) {height.pole=#u}',
      "(i am | i'm | my height is) (<shadowLength:5..6> | <feetPair:5..6>) {height.pole=#u} [tall]",
    ],
  },
  {
    id: 'poleShadow',
    patterns: [
      "[and] ([the] (pole | stick | staff) | [the] (pole's | stick's) | its | my) shadow [is] <shadowLength:2..20> {height.poleShadow=#u}",
    ],
  },
  /** The pole and its shadow in one clause. */
  {
    id: 'poleCasts',
    patterns: [
      '<poleHeight> (throws | casts) [a] <shadowLength:2..20> {height.poleShadow=#u} shadow',
      '[the] shadow of (my | the | a) <small:3..12> (foot {unit ft} | metre {unit m} | meter {unit m}) (pole | stick | staff) {height.pole=#u} [is] <shadowLength:2..20> {height.poleShadow=#u}',
      '(<poleHeight> & <poleShadow>)',
    ],
  },
  {
    id: 'way.shadow',
    sets: ['height.method=shadow'],
    patterns: ['<treeShadow> [and] <poleCasts>', '<poleCasts> [and] <treeShadow>'],
  },
  {
    id: 'heights.shadow',
    family,
    help: 'The shadow of the tree, a pole, and the shadow of the pole, on level ground.',
    sets: ['kind=height'],
    patterns: ['<way.shadow>'],
    examples: [
      {
        words: 'shadow eighty four pole six pole shadow seven and a half',
        note: {
          kind: 'height',
          height: {
            method: 'shadow',
            shadow: { value: 84 },
            pole: { value: 6 },
            poleShadow: { value: 7.5 },
          },
        },
      },
      {
        words: 'pole six feet pole shadow seven and a half feet tree shadow eighty four feet',
        note: {
          kind: 'height',
          height: {
            method: 'shadow',
            shadow: { value: 84, unit: 'ft' },
            pole: { value: 6, unit: 'ft' },
            poleShadow: { value: 7.5, unit: 'ft' },
          },
        },
      },
      {
        words: 'shadow forty metres pole shadow ten metres pole one point seven three metres',
        note: {
          kind: 'height',
          height: {
            method: 'shadow',
            shadow: { value: 40, unit: 'm' },
            pole: { value: 1.73, unit: 'm' },
            poleShadow: { value: 10, unit: 'm' },
          },
        },
      },
    ],
  },
  {
    id: 'device',
    patterns: [
      '(laser | range finder | rangefinder) {device=laser}',
      '(sonic | ultrasonic) {device=sonic}',
      'tape drop {device=tape}',
      '(device | instrument | gauge | hypsometer | clinometer) {device=other}',
    ],
  },
  /**
   * One of several takes. They stand side by side, so each has two digits or a "one" before them: "ninety two ninety
   * seven ninety" is read one way only. "Ninety one twenty" stays open: 91 and 20, or 90 and 120.
   */
  {
    id: 'take',
    patterns: [
      '<n.tens> [<n.ones>] [point {point} <n.decimal+>]',
      '<n.teens> point {point} <n.decimal+>',
      '<bigTake>',
    ],
  },
  {
    id: 'bigTake',
    patterns: [
      '(one {add 1} | two {add 2} | a {add 1}) hundred {times 100} ([and] <n.below100> [point {point} <n.decimal+>] | point {point} <n.decimal+>)',
      'one {add 1} (<n.shifted> | (oh {append 0} | zero {append 0}) <n.append>) [point {point} <n.decimal+>]',
    ],
  },
  { id: 'wholeHundred', patterns: ['(one {add 1} | two {add 2} | a {add 1}) hundred {times 100}'] },
  { id: 'takeUnit', patterns: ['feet {unit ft} | <metreUnit>'] },
  /** A take with another behind it; "then" parts them for certain. */
  {
    id: 'takeThen',
    patterns: [
      '(<take:40..120> | <wholeHundred>) [<takeUnit>] {takes[]=#u} then',
      '<take:40..120> [<takeUnit>] {takes[]=#u} [and]',
      '<wholeHundred> <takeUnit> {takes[]=#u}',
      '<wholeHundred> {takes[]=#u} <bigTake:100..120> {takes[]=#u}',
    ],
  },
  {
    id: 'lastTake',
    patterns: [
      '(<take:40..120> | <wholeHundred>) [<takeUnit>] {takes[]=#u}',
      '<wholeHundred> {takes[]=#u} <bigTake:100..120> [<takeUnit>] {takes[]=#u}',
    ],
  },
  {
    id: 'way.reading',
    sets: ['height.method=reading'],
    patterns: [
      '[the | my] <height/device> [says | reads | reading | shows | gives | height] <number:40..130> [<feetUnit> | <metreUnit>] {height.takes[]=#u}',
      '[<height/device> | two | three | four] (takes | shots | readings) [<height/takeThen+>] <height/lastTake>',
      '[the | my] <height/device> [says | reads | shows | gives] <height/takeThen+> <height/lastTake>',
      "([the] (height | total height | reading) [is | of] | height's | reads) [about] (<number:40..130> [<feetUnit> | <metreUnit>] | <wholeSpoken:40..130> <feetInches>) {height.takes[]=#u}",
      '[the | this] tree is [about] <spoken:40..130> (<feetUnit> | <metreUnit>) {height.takes[]=#u}',
      "[it's | it is | [the | this] tree is] [about] <spoken:40..130> (<feetUnit> | <metreUnit>) {height.takes[]=#u} (tall | high)",
    ],
  },
  {
    id: 'heights.reading',
    family,
    help: 'A height that a device showed, one or several takes of it.',
    sets: ['kind=height'],
    weight: 2,
    patterns: ['<way.reading>'],
    examples: [
      {
        words: 'laser ninety two',
        note: { kind: 'height', height: { method: 'reading', device: 'laser', takes: [{ value: 92 }] } },
      },
      {
        words: 'takes ninety two ninety seven ninety',
        note: {
          kind: 'height',
          height: { method: 'reading', takes: [{ value: 92 }, { value: 97 }, { value: 90 }] },
        },
      },
      {
        words: 'height sixty eight feet',
        note: { kind: 'height', height: { method: 'reading', takes: [{ value: 68, unit: 'ft' }] } },
      },
    ],
  },
];
