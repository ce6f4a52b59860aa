/** The ground: walking an edge by compass and pace, laying plots out, the way from one to the next, and what wood brings. */
import type { Rule } from '../model.ts';

const family = 'Land';
const plotNumber = 'plot [number] <plainCount:1..60>';

/** Parts of what is said of the ground; nobody says them alone. */
const landParts: readonly Rule[] = [
  /** "Eighty five", "two fifteen", "three oh five", "zero eight five", "two one two". */
  {
    id: 'azimuth',
    patterns: [
      '<plainCount> [<decimals> | and <fraction>]',
      '(one {add 1} | two {add 2} | three {add 3}) (<n.shifted> | (oh {append 0} | zero {append 0}) <n.append> | <n.append> <n.append>)',
      '(zero {add 0} | oh {add 0}) [<n.append> <n.append>]',
    ],
  },
  { id: 'northWord', patterns: ['true {north=trueNorth} | magnetic {north=magneticNorth}'] },
  {
    id: 'bearing',
    patterns: [
      '(bearing | azimuth | heading) [of | is] <azimuth:0..359> {bearing.degrees=#} {bearing.by=azimuth} [degrees | degree] [<northWord>]',
      '(north {bearing.from=north} | south {bearing.from=south}) <plain:1..89> {bearing.degrees=#} [degrees | degree] (east {bearing.towards=east} | west {bearing.towards=west}) {bearing.by=quadrant} [<northWord>]',
      'due (north {bearing.towards=north} | east {bearing.towards=east} | south {bearing.towards=south} | west {bearing.towards=west}) {bearing.by=due} [<northWord>]',
    ],
  },
  {
    id: 'aroundWhat',
    patterns: ['[of | around | for] (stand <word+> {stand=@} | stratum <word+> {stratum=@})'],
  },
  { id: 'legNumber', patterns: ['leg [number] <plainCount:1..20> {leg=#}'] },
  {
    id: 'legSaid',
    patterns: [
      '<bearing> [[for | and] <distanceBehind>] [<plotSlope>]',
      '<distanceBehind> [<plotSlope>]',
      '<plotSlope>',
    ],
  },
  { id: 'landAt', patterns: ["(i am | i'm | we are | we're) at | [standing] at"] },
  { id: 'dollars', patterns: ['<plain:5..600> (dollars | dollar) {dollars=#}'] },
  {
    id: 'perUnit',
    patterns: [
      '(a | per) (thousand {per=thousand} [board feet] [[by] <logRule>] | cord {per=cord} | ton {per=ton} | tonne {per=tonne} | cubic (metre | meter) {per=cubicMetre} | hundred cubic feet {per=cunit})',
    ],
  },
  {
    id: 'product',
    patterns: [
      '(saw logs | sawlogs | sawtimber | logs | timber) {product=saw} | (pulp | pulpwood) {product=pulp} | firewood {product=firewood}',
    ],
  },
];

export const landRules: readonly Rule[] = [
  ...landParts,
  {
    id: 'land.start',
    family,
    help: 'Begins the walk round a stand or a stratum, for its edge and its area.',
    sets: ['kind=traverse', 'op=start'],
    patterns: [
      '[start | begin | new] [a | the] traverse [<aroundWhat>]',
      '(start | begin) [walking] the (edge | boundary) [<aroundWhat>]',
    ],
    examples: [
      { words: 'start a traverse', note: { kind: 'traverse', op: 'start' } },
      {
        words: 'start a traverse of stand mill lot',
        note: { kind: 'traverse', op: 'start', stand: 'mill lot' },
      },
      {
        words: 'new traverse around stratum ridge',
        note: { kind: 'traverse', op: 'start', stratum: 'ridge' },
      },
    ],
  },
  {
    id: 'land.leg',
    family,
    help: 'One leg of the walk: the bearing and how far, level or with its slope.',
    sets: ['kind=leg'],
    weight: 2,
    patterns: [
      '<bearing> [[for | and] <distanceBehind>] [<plotSlope>]',
      '<distanceBehind> [on | at] <bearing> [<plotSlope>]',
    ],
    examples: [
      {
        words: 'bearing eighty five sixty two paces',
        note: { kind: 'leg', bearing: { by: 'azimuth', degrees: 85 }, distance: { by: 'paces', count: 62 } },
      },
      {
        words: 'north forty east three chains',
        note: {
          kind: 'leg',
          bearing: { by: 'quadrant', from: 'north', degrees: 40, towards: 'east' },
          distance: { by: 'length', length: { value: 3, unit: 'chain' } },
        },
      },
      {
        words: 'azimuth two hundred and twelve one hundred and forty feet slope twelve percent',
        note: {
          kind: 'leg',
          bearing: { by: 'azimuth', degrees: 212 },
          distance: { by: 'length', length: { value: 140, unit: 'ft' } },
          slope: { value: 12, unit: 'pct' },
        },
      },
      {
        words: 'due south twenty paces',
        note: { kind: 'leg', bearing: { by: 'due', towards: 'south' }, distance: { by: 'paces', count: 20 } },
      },
    ],
  },
  {
    id: 'land.close',
    family,
    help: 'The walk is back where it began: how well it closes, and the area.',
    sets: ['kind=traverse', 'op=close'],
    patterns: [
      "[i'm | i am | we are | we're] back (at the (start | beginning | first corner) | where [i | we] (started | began))",
      '(close | end | finish) [the | this] traverse',
      'traverse (closed | done)',
    ],
    examples: [
      { words: 'back at the start', note: { kind: 'traverse', op: 'close' } },
      { words: 'close the traverse', note: { kind: 'traverse', op: 'close' } },
      { words: 'traverse done', note: { kind: 'traverse', op: 'close' } },
    ],
  },
  {
    id: 'land.use',
    family,
    help: 'Takes the area that was walked for the stand or the stratum.',
    sets: ['kind=traverse', 'op=use'],
    patterns: [
      '(use | take) (that | the) area [for (stand <word+> {stand=@} | stratum <word+> {stratum=@})]',
    ],
    examples: [
      { words: 'use that area', note: { kind: 'traverse', op: 'use' } },
      { words: 'take that area', note: { kind: 'traverse', op: 'use' } },
      { words: 'use that area for stratum ridge', note: { kind: 'traverse', op: 'use', stratum: 'ridge' } },
    ],
  },
  {
    id: 'land.bring',
    family,
    help: 'Takes the edge from a GeoJSON file: the page asks for it.',
    sets: ['kind=traverse', 'op=bring'],
    patterns: ['bring in (the | an | my) edge'],
    examples: [
      { words: 'bring in an edge', note: { kind: 'traverse', op: 'bring' } },
      { words: 'bring in the edge', note: { kind: 'traverse', op: 'bring' } },
      { words: 'bring in my edge', note: { kind: 'traverse', op: 'bring' } },
    ],
  },
  {
    id: 'land.changeLeg',
    family,
    help: 'Puts a leg of the walk right, by its number or the last one.',
    sets: ['kind=change'],
    patterns: [
      '<legNumber> (was | is | should be | to) (<legSaid> | [<distanceBehind>] the other way {reverse=true})',
      '[turn] <legNumber> (the other way | backwards | reversed | around | round) {reverse=true}',
      '(no | sorry | actually | i said | i meant | make that | make it) <bearing>',
    ],
    examples: [
      {
        words: 'leg four was sixty five paces',
        note: { kind: 'change', leg: 4, distance: { by: 'paces', count: 65 } },
      },
      { words: 'leg four the other way', note: { kind: 'change', leg: 4, reverse: true } },
      {
        words: 'leg two was bearing ninety five',
        note: { kind: 'change', leg: 2, bearing: { by: 'azimuth', degrees: 95 } },
      },
      { words: 'no bearing ninety', note: { kind: 'change', bearing: { by: 'azimuth', degrees: 90 } } },
    ],
  },
  {
    id: 'land.layout',
    family,
    help: 'Lays plots out by chance: so many, or as many as an error needs; on a square grid, or on lines at a bearing; over all strata by their share.',
    sets: ['kind=layout'],
    patterns: [
      '(lay out | layout | plan) [<plainCount:6..40> {plots=#}] plots [[over | in] [all] [the] strata {strata=true}] [for <small:5..20> percent {percent=#} [error]] [on a [square] grid {pattern=grid} | on lines {pattern=lines} [at] [<bearing>]]',
    ],
    examples: [
      { words: 'lay out twelve plots', note: { kind: 'layout', plots: 12 } },
      { words: 'lay out twelve plots on a grid', note: { kind: 'layout', plots: 12, pattern: 'grid' } },
      {
        words: 'lay out twenty plots on lines bearing thirty',
        note: { kind: 'layout', plots: 20, pattern: 'lines', bearing: { by: 'azimuth', degrees: 30 } },
      },
      { words: 'lay out plots for ten percent error', note: { kind: 'layout', percent: 10 } },
      { words: 'lay out twenty plots over the strata', note: { kind: 'layout', plots: 20, strata: true } },
    ],
  },
  {
    id: 'land.way',
    family,
    help: 'Which way and how far to a planned plot, or back to where the walk began.',
    sets: ['kind=way'],
    patterns: [
      `[<askLead>] way [back] to (the next plot | ${plotNumber} {to=#} | the start {start=true})`,
      `(where is | where's | take me to) (the next plot | ${plotNumber} {to=#} | the start {start=true})`,
      'which way [now | next]',
    ],
    examples: [
      { words: 'way to the next plot', note: { kind: 'way' } },
      { words: 'way to plot seven', note: { kind: 'way', to: 7 } },
      { words: 'way back to the start', note: { kind: 'way', start: true } },
    ],
  },
  {
    id: 'land.place',
    family,
    help: 'Where you stand for certain: the ways go on from there.',
    sets: ['kind=place'],
    patterns: [
      `<landAt> (${plotNumber} {plot=#} | the start {start=true} | corner [number] <plainCount:1..20> {corner=#})`,
    ],
    examples: [
      { words: 'i am at plot seven', note: { kind: 'place', plot: 7 } },
      { words: 'at the start', note: { kind: 'place', start: true } },
      { words: "i'm at corner three", note: { kind: 'place', corner: 3 } },
    ],
  },
  {
    id: 'land.around',
    family,
    help: 'Round an obstacle: square off the line to one side, so far; the way tells how to come back on it.',
    sets: ['kind=around'],
    patterns: [
      '(go | going | went) (around | round) [it] [to | on] [the] (left {side=left} | right {side=right}) <distanceBehind>',
      '(offset | step) [to the] (left {side=left} | right {side=right}) <distanceBehind>',
    ],
    examples: [
      {
        words: 'go around to the right twenty paces',
        note: { kind: 'around', side: 'right', distance: { by: 'paces', count: 20 } },
      },
      {
        words: 'offset left forty feet',
        note: { kind: 'around', side: 'left', distance: { by: 'length', length: { value: 40, unit: 'ft' } } },
      },
      {
        words: 'went around it on the left ten paces',
        note: { kind: 'around', side: 'left', distance: { by: 'paces', count: 10 } },
      },
    ],
  },
  {
    id: 'land.price',
    family,
    help: 'What wood brings: of a species and a product where they are said, else of all.',
    sets: ['kind=price'],
    patterns: ['[<facts/species>] [<product>] [is | at | brings] <dollars> <perUnit>'],
    examples: [
      {
        words: 'red oak is four hundred and fifty dollars a thousand',
        note: { kind: 'price', facts: { species: 833 }, dollars: 450, per: 'thousand' },
      },
      {
        words: 'pine pulp nine dollars a ton',
        note: { kind: 'price', facts: { species: 'pine' }, product: 'pulp', dollars: 9, per: 'ton' },
      },
      { words: 'twelve dollars a cord', note: { kind: 'price', dollars: 12, per: 'cord' } },
    ],
  },
];
