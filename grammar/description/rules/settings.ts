/** What the book is told about the person, the ground and the ways of counting, once. */
import { deviationNames, deviations } from '../../../shared/note/deviations.ts';
import type { LogRule } from '../../../shared/note/log-rules.ts';
import type { SaidSetting } from '../../../shared/note/settings.ts';
import type { Rule } from '../model.ts';

const family = 'Settings';
/** Said once a day: seldom sampled. */
const usualWeight = 0.4;

/** All errors share their number; a unit that is said must be the error's own, which the dialogue sees to. */
const deviationPattern = `assume (${deviationNames
  .flatMap((name) => {
    const { words } = deviations[name];
    return words === undefined ? [] : [`${words} {set.error=${name}}`];
  })
  .join(
    ' | ',
  )}) <small:0.1..9> {set.value=#} [(degrees | degree) {set.unit=degrees} | percent {set.unit=percent} | (feet | foot) {set.unit=feet} | (inches | inch) {set.unit=inches}]`;
/** How each log rule is said. */
const logRuleWords = {
  doyle: 'doyle',
  scribner: '(scribner | scribner decimal c)',
  international: '(international | international quarter [inch])',
} as const satisfies Record<LogRule, string>;

/** How each setting is said, with its help. */
const settingPhrases = {
  pace: {
    help: 'The length of your pace: two steps, unless you count single steps.',
    patterns: [
      '[my | one] (pace | pace length) [is | at | of] <paceLength:4.5..6> {set.length=#u}',
      'my paces are <paceLength:4.5..6> {set.length=#u}',
      '(set | make) (my | the) pace [to] <paceLength:4.5..6> {set.length=#u}',
      '[my | one] (step | steps | stride) [is | are] <paceLength:2..3> {set.length=#u} {set.of=steps}',
    ],
    examples: [
      {
        words: 'my pace is five point three feet',
        note: { kind: 'setting', set: { what: 'pace', length: { value: 5.3, unit: 'ft' } } },
      },
      {
        words: 'pace five point two',
        note: { kind: 'setting', set: { what: 'pace', length: { value: 5.2 } } },
      },
      {
        words: 'my step is two and a half feet',
        note: { kind: 'setting', set: { what: 'pace', length: { value: 2.5, unit: 'ft' }, of: 'steps' } },
      },
      {
        words: 'pace length one point six metres',
        note: { kind: 'setting', set: { what: 'pace', length: { value: 1.6, unit: 'm' } } },
      },
    ],
  },
  walk: {
    help: 'A walk over a known distance: how many paces or steps it took.',
    patterns: [
      "[it's | it is | [i] (walked | counted | took)] <plain:15..45> (paces {set.of=paces} | pace {set.of=paces} | steps {set.of=steps} | single steps {set.of=steps}) {set.count=#} (in | to | for | over | per | is) [the] (<far:60..200> | hundred {add 100} (feet {unit ft} | foot {unit ft})) {set.length=#u}",
      '<far:60..200> {set.length=#u} (is | in | took | takes) <plain:15..45> {set.count=#} (paces {set.of=paces} | steps {set.of=steps})',
    ],
    examples: [
      {
        words: 'nineteen paces in one hundred feet',
        note: {
          kind: 'setting',
          set: { what: 'walk', count: 19, of: 'paces', length: { value: 100, unit: 'ft' } },
        },
      },
      {
        words: 'twenty paces in one hundred and four feet',
        note: {
          kind: 'setting',
          set: { what: 'walk', count: 20, of: 'paces', length: { value: 104, unit: 'ft' } },
        },
      },
      {
        words: 'twenty five steps to a chain',
        note: {
          kind: 'setting',
          set: { what: 'walk', count: 25, of: 'steps', length: { value: 1, unit: 'chain' } },
        },
      },
    ],
  },
  counting: {
    help: 'Whether you count every step or every second one.',
    patterns: [
      "(i count | count | counting | i am counting | i'm counting) ([single | every] (steps | step) {set.of=steps} | [double | full] (paces | pace) {set.of=paces})",
      '(i count | count) (every second step | every other step | both steps as one | two steps) {set.of=paces}',
    ],
    examples: [
      { words: 'i count single steps', note: { kind: 'setting', set: { what: 'counting', of: 'steps' } } },
      { words: 'i count paces', note: { kind: 'setting', set: { what: 'counting', of: 'paces' } } },
      { words: 'counting steps', note: { kind: 'setting', set: { what: 'counting', of: 'steps' } } },
    ],
  },
  eye: {
    help: 'The height of your eye above the ground.',
    // One that no eye has is read all the same, and asked about.
    patterns: [
      '<eyeWord> <eyeValue> {set.length=#u}',
      '<eyeWord> <small:5..6> (<feetUnit> | <metreUnit>) {set.length=#u}',
    ],
    examples: [
      {
        words: 'eye height five foot four',
        note: { kind: 'setting', set: { what: 'eye', length: { value: 5 + 4 / 12, unit: 'ft' } } },
      },
      {
        words: 'eye five and a half',
        note: { kind: 'setting', set: { what: 'eye', length: { value: 5.5 } } },
      },
      {
        words: 'my eye height is one point six five metres',
        note: { kind: 'setting', set: { what: 'eye', length: { value: 1.65, unit: 'm' } } },
      },
    ],
  },
  units: {
    help: 'Feet or metres, where you say no unit.',
    patterns: [
      '(units | use | unit | work in | units are | switch to | [set] [the] units [to | in]) (feet | foot | imperial) {set.units=feet}',
      '(units | use | unit | work in | units are | switch to | [set] [the] units [to | in]) (metres | meters | metric) {set.units=metres}',
      '(metric | metric units | go metric) {set.units=metres}',
      '(imperial | imperial units) {set.units=feet}',
    ],
    examples: [
      { words: 'metric', note: { kind: 'setting', set: { what: 'units', units: 'metres' } } },
      { words: 'units feet', note: { kind: 'setting', set: { what: 'units', units: 'feet' } } },
      { words: 'use metres', note: { kind: 'setting', set: { what: 'units', units: 'metres' } } },
    ],
  },
  ground: {
    help: 'How much shorter your paces are on this ground: brush, mud, slope.',
    patterns: [
      '[the] (brush | ground | brush and slope | brushy ground) [is | of | takes | costs] [about] <small:5..30> [percent] [off [my (pace | paces)]] {set.shorter=#}',
      '[my] paces [are | run] <small:5..30> percent (short | shorter) {set.shorter=#}',
      '(clear ground | open ground | no brush | flat ground) {set.shorter=0}',
    ],
    examples: [
      { words: 'brush ten percent', note: { kind: 'setting', set: { what: 'ground', shorter: 10 } } },
      {
        words: 'paces run five percent short',
        note: { kind: 'setting', set: { what: 'ground', shorter: 5 } },
      },
      { words: 'clear ground', note: { kind: 'setting', set: { what: 'ground', shorter: 0 } } },
    ],
  },
  scatter: {
    help: 'How far single readings of a device scatter in these woods.',
    patterns: [
      '<set/device> (scatter | scatters | error | spread) [is | of | by] <measured:2..12> {set.length=#u}',
    ],
    examples: [
      {
        words: 'laser scatter seven feet',
        note: {
          kind: 'setting',
          set: { what: 'scatter', device: 'laser', length: { value: 7, unit: 'ft' } },
        },
      },
      {
        words: 'sonic scatters by two metres',
        note: {
          kind: 'setting',
          set: { what: 'scatter', device: 'sonic', length: { value: 2, unit: 'm' } },
        },
      },
      {
        words: 'tape drop error of one foot',
        note: {
          kind: 'setting',
          set: { what: 'scatter', device: 'tape', length: { value: 1, unit: 'ft' } },
        },
      },
    ],
  },
  deviation: {
    weight: 0.2,
    help: 'A supposed error; Setup lists them.',
    patterns: [deviationPattern],
    examples: [
      {
        words: 'assume sight one degree',
        note: {
          kind: 'setting',
          set: { what: 'deviation', error: 'sightDegrees', value: 1, unit: 'degrees' },
        },
      },
      {
        words: 'assume rough ground six percent',
        note: { kind: 'setting', set: { what: 'deviation', error: 'groundPart', value: 6, unit: 'percent' } },
      },
      {
        words: 'assume level ground one point five feet',
        note: { kind: 'setting', set: { what: 'deviation', error: 'levelFeet', value: 1.5, unit: 'feet' } },
      },
    ],
  },
  logRule: {
    help: 'The log rule of the volumes.',
    patterns: [
      '(log rule [is] | use [the] | scale by | use log rule) <set/logRule> [[log] rule]',
      '<set/logRule> [log] rule',
    ],
    examples: [
      { words: 'log rule doyle', note: { kind: 'setting', set: { what: 'logRule', rule: 'doyle' } } },
      {
        words: 'use international quarter inch',
        note: { kind: 'setting', set: { what: 'logRule', rule: 'international' } },
      },
      { words: 'scribner rule', note: { kind: 'setting', set: { what: 'logRule', rule: 'scribner' } } },
    ],
  },
  formClass: {
    help: 'The form class of this stand; said with a tree it holds for that tree alone.',
    patterns: ['[use] [girard] form class [is] <n.below100:70..85> {set.value=#}'],
    examples: [
      {
        words: 'form class seventy eight',
        note: { kind: 'setting', set: { what: 'formClass', value: 78 } },
      },
      {
        words: 'use form class eighty',
        note: { kind: 'setting', set: { what: 'formClass', value: 80 } },
      },
      {
        words: 'girard form class is eighty one',
        note: { kind: 'setting', set: { what: 'formClass', value: 81 } },
      },
    ],
  },
  edge: {
    help: 'What is done with plots that reach over the edge of the stand.',
    patterns: [
      '(edge | edge method | at the edge) [is] (mirage {set.method=mirage} | (walkthrough | walk through) {set.method=walkthrough} | none {set.method=none})',
      '(mirage {set.method=mirage} | (walkthrough | walk through) {set.method=walkthrough}) (method | at the edge)',
      'no edge (correction | method) {set.method=none}',
    ],
    examples: [
      { words: 'edge mirage', note: { kind: 'setting', set: { what: 'edge', method: 'mirage' } } },
      {
        words: 'edge method walkthrough',
        note: { kind: 'setting', set: { what: 'edge', method: 'walkthrough' } },
      },
      { words: 'no edge correction', note: { kind: 'setting', set: { what: 'edge', method: 'none' } } },
    ],
  },
  slopeMethod: {
    help: 'Whether plot radii are laid out along the slope or horizontally.',
    patterns: [
      '(slope method | plots | radius) [is | are] ((on | along) [the] slope {set.method=onSlope} | (horizontal | level | flat) {set.method=horizontal})',
    ],
    examples: [
      {
        words: 'slope method on slope',
        note: { kind: 'setting', set: { what: 'slopeMethod', method: 'onSlope' } },
      },
      {
        words: 'slope method horizontal',
        note: { kind: 'setting', set: { what: 'slopeMethod', method: 'horizontal' } },
      },
      {
        words: 'plots along the slope',
        note: { kind: 'setting', set: { what: 'slopeMethod', method: 'onSlope' } },
      },
    ],
  },
  person: {
    help: 'Who is measuring.',
    patterns: [
      '(crew | my name is | this is crew) <set/name>',
      "(i am | i'm | this is) <set/person> [here | speaking | now]",
      "[it's | it is] <set/personsOwn> turn",
    ],
    examples: [
      { words: 'crew wren', note: { kind: 'setting', set: { what: 'person', name: 'wren' } } },
      { words: 'i am linnet', note: { kind: 'setting', set: { what: 'person', name: 'linnet' } } },
      { words: 'my name is tamsin', note: { kind: 'setting', set: { what: 'person', name: 'tamsin' } } },
    ],
  },
  attention: {
    help: 'The word without which I do not listen; "none" for none.',
    patterns: [
      '(attention word | answer to) [is] <word+> {set.word=@}',
      '(no attention word | attention word (none | off)) {set.word=none}',
    ],
    examples: [
      { words: 'attention word sprig', note: { kind: 'setting', set: { what: 'attention', word: 'sprig' } } },
      {
        words: 'attention word is notebook',
        note: { kind: 'setting', set: { what: 'attention', word: 'notebook' } },
      },
      { words: 'answer to partner', note: { kind: 'setting', set: { what: 'attention', word: 'partner' } } },
      { words: 'no attention word', note: { kind: 'setting', set: { what: 'attention', word: 'none' } } },
    ],
  },
  declination: {
    help: 'Needle against true north.',
    patterns: [
      '[magnetic] declination [is | of] (<small:1..20> [degrees | degree] (east {set.value=#} | west {set.value=#-}) | zero {set.value=0})',
    ],
    examples: [
      {
        words: 'declination twelve east',
        note: { kind: 'setting', set: { what: 'declination', value: 12 } },
      },
      {
        words: 'declination nine and a half degrees west',
        note: { kind: 'setting', set: { what: 'declination', value: -9.5 } },
      },
      {
        words: 'magnetic declination is four east',
        note: { kind: 'setting', set: { what: 'declination', value: 4 } },
      },
    ],
  },
  north: {
    help: 'Which north the bearings are from that are said without one.',
    patterns: [
      '[all] bearings are (true {set.north=trueNorth} | magnetic {set.north=magneticNorth})',
      '[use] (true {set.north=trueNorth} | magnetic {set.north=magneticNorth}) bearings',
    ],
    examples: [
      { words: 'bearings are true', note: { kind: 'setting', set: { what: 'north', north: 'trueNorth' } } },
      {
        words: 'magnetic bearings',
        note: { kind: 'setting', set: { what: 'north', north: 'magneticNorth' } },
      },
      { words: 'use true bearings', note: { kind: 'setting', set: { what: 'north', north: 'trueNorth' } } },
    ],
  },
  region: {
    weight: 0.1,
    help: 'Whose trees are meant.',
    patterns: ['region <set/region>'],
    examples: [
      { words: 'region europe', note: { kind: 'setting', set: { what: 'region', region: 'europe' } } },
      { words: 'region west', note: { kind: 'setting', set: { what: 'region', region: 'west' } } },
      {
        words: 'region america',
        note: { kind: 'setting', set: { what: 'region', region: 'america' } },
      },
    ],
  },
} satisfies Record<SaidSetting, Pick<Rule, 'help' | 'weight' | 'patterns' | 'examples'> & { help: string }>;

export const settingRules: readonly Rule[] = [
  {
    id: 'paceLength',
    patterns: ['<spoken> [<feetUnit> | <metreUnit> | <inchUnit>]', '<wholeSpoken> <n.feet>'],
  },
  {
    id: 'logRule',
    patterns: Object.entries(logRuleWords).map(([rule, words]) => `${words} {rule=${rule}}`),
  },
  {
    id: 'region',
    patterns: [
      'europe {region=europe}',
      'america {region=america}',
      'east {region=east}',
      'west {region=west}',
    ],
  },
  ...Object.entries(settingPhrases).map(([what, phrases]) => ({
    id: `settings.${what}`,
    family,
    weight: usualWeight,
    sets: ['kind=setting', `set.what=${what}`],
    ...phrases,
  })),
];
