/** Heights by sighted angles: degrees, percent, the 66-foot scale, along a slope, and line-of-sight ranges. */
import type { Rule } from '../model.ts';

const family = 'Heights';

/** One scale of the angle gauge: its name in the note, and the words that name it. */
const scales = [
  ['deg', '(degrees | degree)'],
  ['pct', '(percent | per cent)'],
] as const;

const top = '([the] (top | tip | crown) [angle] | angle to the top) [is] [at]';
const topNumber = (number: string): string =>
  `([<plus>] <${number}:20..90> {top=#} | <minus> <small:1..20> {top=#-})`;
const bothWays = '({base.angle.value=#-} | {base.angle.value=#})';

const sightRules: readonly Rule[] = [
  { id: 'sight.top', patterns: [`${top} ${topNumber('plain')}`] },
  { id: 'sight.baseWord', patterns: ['(<theBase> [angle] | angle to the base | foot) [is | at]'] },
  {
    id: 'sight.base',
    patterns: [
      '<sight.baseWord> (zero | level | at eye level) {base.angle.value=0} {base.by=angle}',
      '<sight.baseWord> (<minus> <small:1..30> {base.angle.value=#-} | <plus> <small:1..20> {base.angle.value=#}) {base.by=angle}',
    ],
  },
  /**
   * A base without plus or minus is read both ways on purpose: below the eye is usual, above it would change the
   * height by twice as much, and only the person knows. The book asks.
   */
  { id: 'sight.unsigned', patterns: [`<sight.baseWord> <small> ${bothWays} {base.by=angle}`] },
  /** Top and base: the name of the scale may stand behind one of them or behind both. */
  ...scales.map(
    ([scale, words]): Rule => ({
      id: `sight.${scale}`,
      patterns: [
        `${top} ${topNumber('spoken')} ${words} {scale=${scale}} [and] <sight.base> [${words}]`,
        `<sight.top> [and] <sight.base> ${words} {scale=${scale}}`,
      ],
    }),
  ),
  /** Base before top: the scale stands at the end. */
  ...scales.map(
    ([scale, words]): Rule => ({
      id: `sight.${scale}Last`,
      patterns: [`<sight.base> [${words}] [and] ${top} ${topNumber('plain')} ${words} {scale=${scale}}`],
    }),
  ),
  {
    id: 'sight.topo',
    patterns: [
      `topo [${top}] ${topNumber('plain')} {scale=topo} [and] <sight.base>`,
      `${top} ${topNumber('plain')} topo {scale=topo} [and] <sight.base>`,
      '<sight.top> [and] <sight.base> [on [the]] topo {scale=topo}',
    ],
  },
  /** The angle before what it was sighted on. */
  {
    id: 'sight.to',
    patterns: [
      '<spoken:20..90> {top=#} (degrees {scale=deg} | percent {scale=pct}) to [the] top [and] (<minus> <small:1..30> {base.angle.value=#-} | <plus> <small:1..20> {base.angle.value=#}) [degrees | percent] to [the] (base | bottom) {base.by=angle}',
      'plus <spoken:20..90> {top=#} [degrees {scale=deg} | percent {scale=pct}] [and] minus <small:1..30> {base.angle.value=#-} {base.by=angle} [degrees {scale=deg} | percent {scale=pct}]',
      '<spoken:20..90> {top=#} (degrees {scale=deg} | percent {scale=pct}) up [and] <small:1..30> [degrees | percent] down {base.angle.value=#-} {base.by=angle}',
    ],
  },
  {
    id: 'sight.both',
    patterns: [
      '<sight.deg> | <sight.pct> | <sight.top> [and] <sight.base> | <sight.base> [and] <sight.top> | <sight.topo> | <sight.degLast> | <sight.pctLast> | <sight.to>',
    ],
  },
  {
    id: 'sight.topOnly',
    patterns: [
      ...scales.map(([scale, words]) => `${top} ${topNumber('spoken')} ${words} {scale=${scale}}`),
      `topo [${top}] ${topNumber('plain')} {scale=topo}`,
      '<sight.top>',
    ],
  },
];

export const angleRules: readonly Rule[] = [
  ...sightRules,
  {
    id: 'heights.angles',
    family,
    help: 'Two sighted angles and the distance, in degrees, percent or on the 66-foot scale. Base minus is below your eye, plus above it.',
    sets: ['kind=height', 'height.method=angles'],
    weight: 4,
    patterns: [
      '<height/sight.both> (<height/from> | <height/slopeDistance>)',
      '<height/sight.topOnly> (<height/from> | <height/slopeDistance>) [<height/eye>] [<height/baseOnFoot>]',
      '([at | from] <height/distance> [out | away] | <height/slopeDistance>) (<height/sight.both> | <height/sight.topOnly> [<height/eye>])',
    ],
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
      '<height/sight.top> <height/sight.unsigned> <height/from>',
      `topo [${top}] <spoken> {height.top=#} {height.scale=topo} <height/sight.unsigned> <height/from>`,
      ...scales.flatMap(([scale, words]) => [
        `${top} <spoken> {height.top=#} ${words} {height.scale=${scale}} <height/sight.unsigned> [${words}] <height/from>`,
        `<height/sight.top> <height/sight.unsigned> ${words} {height.scale=${scale}} <height/from>`,
      ]),
    ],
  },
  {
    id: 'heights.ranges',
    family,
    help: 'Line-of-sight ranges to top and base, each with its angle in degrees.',
    sets: ['kind=height', 'height.method=ranges'],
    patterns: ['<rangeToTop> [and] <rangeToBase>', '<rangeToBase> [and] <rangeToTop>'],
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
    id: 'rangeToTop',
    patterns: ['(top range | range to [the] top) [is] <measured:30..200> {height.topRange=#u} at <rangeTop>'],
  },
  {
    id: 'rangeToBase',
    patterns: [
      '(base range | range to [the] base) [is] <measured:30..200> {height.baseRange=#u} at <rangeBase>',
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
