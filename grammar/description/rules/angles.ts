/** Heights by sighted angles: degrees, percent, the 66-foot scale, along a slope, and line-of-sight ranges. */
import type { Rule } from '../model.ts';

const family = 'Heights';

/** The scales of the angle gauge: name in the note, words that name it, word for it in front. */
const scales = [
  ['deg', '(degrees | degree)'],
  ['pct', '(percent | per cent)'],
  ['topo', '(<topoWord>)'],
] as const;
/** Those that stand behind any number; the 66-foot scale is named once, by its own name. */
const units = scales.slice(0, 2);

const top = '([the] (top | tip | crown) [angle] | angle to the (top | tip)) [is | reads | reading] [at]';
const toTop = '(up | [to [the]] (top | tip | crown))';
const toBase = '[to [the] | at [the]] (base | bottom | butt | foot)';
const topNumber = (number: string): string =>
  `([<plus>] <${number}:20..90> {top=#} | <minus> <small:1..20> {top=#-})`;
const bothWays = '({base.angle.value=#-} | {base.angle.value=#})';

const sightRules: readonly Rule[] = [
  {
    id: 'topoWord',
    patterns: ['topo | [the] (topo | topographic) scale | topographic | sixty six [foot] scale'],
  },
  /** The top sighted, without its scale. */
  {
    id: 'sight.top',
    patterns: [
      `${top} ${topNumber('plain')}`,
      `<plain:20..90> ${toTop} {top=#}`,
      '(plus | up) <plain:20..90> {top=#}',
    ],
  },
  {
    id: 'sight.baseWord',
    patterns: ['(<theBase> [angle] | angle to the base | foot [angle]) [is | at | reads]'],
  },
  /** The base sighted, with its sign: minus and down are below the eye, plus above it. */
  {
    id: 'sight.base',
    patterns: [
      '<sight.baseWord> (zero | level | at eye level) {base.angle.value=0} {base.by=angle}',
      '<sight.baseWord> (<minus> <small:1..30> {base.angle.value=#-} | <plus> <small:1..20> {base.angle.value=#}) {base.by=angle}',
      `<minus> <small:1..30> {base.angle.value=#-} [${toBase}] {base.by=angle}`,
      '<small:1..30> (down | below) {base.angle.value=#-} {base.by=angle}',
    ],
  },
  /**
   * A base without plus or minus is read both ways on purpose: below the eye is usual, above it would change the
   * height by twice as much, and only the person knows. The book asks.
   */
  {
    id: 'sight.unsigned',
    patterns: [
      `<sight.baseWord> <small> ${bothWays} {base.by=angle}`,
      `<small> ${toBase} ${bothWays} {base.by=angle}`,
    ],
  },
  /** The top with its scale. */
  ...units.map(
    ([scale, words]): Rule => ({
      id: `sight.${scale}Top`,
      patterns: [
        `${top} ${topNumber('spoken')} ${words} {scale=${scale}}`,
        `<spoken:20..90> {top=#} ${words} {scale=${scale}} ${toTop}`,
        `<spoken:20..90> {top=#} ${toTop} ${words} {scale=${scale}}`,
        `(plus | up) <spoken:20..90> {top=#} ${words} {scale=${scale}}`,
      ],
    }),
  ),
  /** The base with its scale, the same as the top's. */
  ...units.map(
    ([scale, words]): Rule => ({
      id: `sight.${scale}Base`,
      patterns: [
        `<sight.base> [${words}]`,
        `<minus> <small:1..30> ${words} {base.angle.value=#-} ${toBase} {base.by=angle}`,
        `<small:1..30> ${words} {base.angle.value=#-} (down | below) {base.by=angle}`,
      ],
    }),
  ),
  /** Top and base, either first: the name of the scale may stand behind one of them or behind both. */
  ...units.map(
    ([scale, words]): Rule => ({
      id: `sight.${scale}`,
      patterns: [
        `<sight.${scale}Top> [and] <sight.${scale}Base>`,
        `<sight.top> [and] <sight.base> ${words} {scale=${scale}}`,
        `<sight.base> [${words}] [and] <sight.top> ${words} {scale=${scale}}`,
      ],
    }),
  ),
  {
    id: 'sight.topo',
    patterns: [
      `<topoWord> [reads | says] ([${top}] ${topNumber('plain')} | <plain:20..90> ${toTop} {top=#}) {scale=topo} [and] <sight.base>`,
      `${top} ${topNumber('plain')} <topoWord> {scale=topo} [and] <sight.base>`,
      '<sight.top> [and] <sight.base> [on [the]] <topoWord> {scale=topo}',
    ],
  },
  {
    id: 'sight.both',
    patterns: [
      '<sight.deg> | <sight.pct> | <sight.top> [and] <sight.base> | <sight.base> [and] <sight.top> | <sight.topo>',
    ],
  },
  {
    id: 'sight.topOnly',
    patterns: [
      '<sight.degTop> | <sight.pctTop>',
      `<topoWord> [reads | says] [${top}] ${topNumber('plain')} {scale=topo}`,
      '<sight.top>',
    ],
  },
  /** Where the eye stood, before what it sighted. */
  {
    id: 'sight.place',
    patterns: [
      '[[standing] uphill [of (it | [the] tree)]] ([at | from] <distance> [out | away | off | back] | <slopeDistance>) [i (read | get | have)]',
    ],
  },
  {
    id: 'way.angles',
    sets: ['height.method=angles'],
    patterns: [
      '[i (read | get | have)] <height/sight.both> (<height/from> | <height/slopeDistance>)',
      ...scales.map(
        ([scale, words]) =>
          `<height/sight.top> [and] <height/sight.base> <height/from> [on [the]] ${words} {height.scale=${scale}}`,
      ),
      '<height/sight.topOnly> (<height/from> | <height/slopeDistance>) [<height/eye>] [<height/baseOnFoot>]',
      '<height/sight.place> (<height/sight.both> | <height/sight.topOnly> [<height/eye>])',
    ],
  },
];

export const angleRules: readonly Rule[] = [
  ...sightRules,
  {
    id: 'heights.angles',
    family,
    help: 'Two sighted angles and the distance, in degrees, percent or on the 66-foot scale. Base minus is below your eye, plus above it.',
    sets: ['kind=height'],
    weight: 4,
    patterns: ['<way.angles>'],
    examples: [
      {
        words: 'top forty two degrees base minus four sixty six feet',
        note: {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'deg',
            top: 42,
            distance: { by: 'length', length: { value: 66, unit: 'ft' } },
            base: { by: 'angle', angle: { value: -4 } },
          },
        },
      },
      {
        words: 'top eighty eight percent base minus seven eighty feet',
        note: {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'pct',
            top: 88,
            distance: { by: 'length', length: { value: 80, unit: 'ft' } },
            base: { by: 'angle', angle: { value: -7 } },
          },
        },
      },
      {
        words: 'topo sixty one base minus five one chain',
        note: {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'topo',
            top: 61,
            distance: { by: 'length', length: { value: 1, unit: 'chain' } },
            base: { by: 'angle', angle: { value: -5 } },
          },
        },
      },
      {
        words: 'top seventy five base plus eight percent at one hundred feet',
        note: {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'pct',
            top: 75,
            distance: { by: 'length', length: { value: 100, unit: 'ft' } },
            base: { by: 'angle', angle: { value: 8 } },
          },
        },
      },
      {
        words: 'slope distance eighty two at minus twelve degrees top thirty three degrees',
        note: {
          kind: 'height',
          height: {
            method: 'angles',
            scale: 'deg',
            top: 33,
            distance: { by: 'length', length: { value: 82 }, slope: { value: -12, unit: 'deg' } },
          },
        },
      },
    ],
  },
  {
    id: 'heights.unsigned',
    family,
    help: 'Without plus or minus I ask whether the base is above or below your eye.',
    sets: ['kind=height', 'height.method=angles'],
    weight: 0,
    patterns: [
      '<height/sight.top> [and] <height/sight.unsigned> <height/from>',
      '<height/sight.place> <height/sight.top> [and] <height/sight.unsigned>',
      '<height/slopeUnsigned> [and] (<height/sight.both> | <height/sight.topOnly> [<height/eye>])',
      `<topoWord> [${top}] <spoken> {height.top=#} {height.scale=topo} <height/sight.unsigned> <height/from>`,
      ...scales.map(
        ([scale, words]) =>
          `<height/sight.top> [and] <height/sight.unsigned> (${words} {height.scale=${scale}} <height/from> | <height/from> [on [the]] ${words} {height.scale=${scale}})`,
      ),
      ...units.map(
        ([scale, words]) =>
          `<height/sight.${scale}Top> [and] <height/sight.unsigned> [${words}] <height/from>`,
      ),
      ...units.map(
        ([scale, words]) =>
          `<height/sight.place> (<height/sight.${scale}Top> [and] <height/sight.unsigned> [${words}] | <height/sight.top> [and] <height/sight.unsigned> ${words} {height.scale=${scale}})`,
      ),
    ],
  },
  {
    id: 'heights.ranges',
    family,
    help: 'Line-of-sight ranges to top and base, each with its angle in degrees.',
    sets: ['kind=height'],
    patterns: ['<way.ranges>'],
    examples: [
      {
        words: 'top range one oh five at forty seven degrees base range seventy at minus three',
        note: {
          kind: 'height',
          height: {
            method: 'ranges',
            topRange: { value: 105 },
            topAngle: 47,
            baseRange: { value: 70 },
            baseAngle: -3,
          },
        },
      },
      {
        words:
          'base range seventy feet at minus three degrees and top range one hundred and five feet at forty seven degrees',
        note: {
          kind: 'height',
          height: {
            method: 'ranges',
            topRange: { value: 105, unit: 'ft' },
            topAngle: 47,
            baseRange: { value: 70, unit: 'ft' },
            baseAngle: -3,
          },
        },
      },
      {
        words: 'top range thirty two metres at forty one base range twenty five metres at plus two',
        note: {
          kind: 'height',
          height: {
            method: 'ranges',
            topRange: { value: 32, unit: 'm' },
            topAngle: 41,
            baseRange: { value: 25, unit: 'm' },
            baseAngle: 2,
          },
        },
      },
    ],
  },
  {
    id: 'way.ranges',
    sets: ['height.method=ranges'],
    patterns: ['<rangeToTop> [and] <rangeToBase>', '<rangeToBase> [and] <rangeToTop>'],
  },
  {
    id: 'rangeToTop',
    patterns: [
      '(top range | range to [the] (top | tip) | line of sight to the (top | tip)) [is] <measured:30..200> {height.topRange=#u} at <rangeTop>',
    ],
  },
  {
    id: 'rangeToBase',
    patterns: [
      '(base range | range to [the] (base | foot) | line of sight to the (base | foot) | to the (base | foot)) [is] <measured:30..200> {height.baseRange=#u} at <rangeBase>',
    ],
  },
  {
    id: 'rangeTop',
    patterns: [
      '([<plus>] <small:20..60> {height.topAngle=#} | <minus> <small:1..10> {height.topAngle=#-}) [degrees | degree]',
    ],
  },
  {
    id: 'rangeBase',
    patterns: [
      '(<minus> <small:1..20> {height.baseAngle=#-} | <plus> <small:1..10> {height.baseAngle=#}) [degrees | degree]',
    ],
  },
];
