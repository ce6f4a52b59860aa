/** Plots, trees at their border, stands and strata. */
import type { Rule } from '../model.ts';

const family = 'Plots';

export const plotRules: readonly Rule[] = [
  {
    id: 'plotSize',
    patterns: [
      '<area> {size=#u} {size.by=area} [plot | plots]',
      '<wholeSpoken:100..500> square (metres | meters) {unit m2} {size=#u} {size.by=area} [plot | plots]',
      '(full {add 1} | whole {add 1}) acre {unit acre} {size=#u} {size.by=area} [plot | plots]',
      '([basal area | prism] factor [of] | prism | baf) <plain:5..40> {size.value=#} {size.by=factor}',
      '[basal area] factor <small:1..6> metric {size.value=#} {size.unit=m2/ha} {size.by=factor}',
      '[basal area] factor <small:5..40> imperial {size.value=#} {size.unit=ft2/acre} {size.by=factor}',
      'metric [basal area] factor <small:1..6> {size.value=#} {size.unit=m2/ha} {size.by=factor}',
      '<small:5..40> factor [prism | gauge] {size.value=#} {size.by=factor}',
      '[of | plot] radius [of | is] <measured:10..60> {size.length=#u} {size.by=radius}',
      '<spoken:10..60> (<feetUnit> | <metreUnit>) radius {size.length=#u} {size.by=radius}',
      '(full tally | tally every tree | every tree | count every tree) {size.by=tally}',
    ],
  },
  /** Sizes that cannot be taken for the number of the plot. */
  {
    id: 'plainSize',
    patterns: [
      '(tenth {part 0.1} | fifth {part 0.2} | quarter {part 0.25} | half {part 0.5} | twentieth {part 0.05} | fiftieth {part 0.02} | hundredth {part 0.01}) acre {unit acre} {size=#u} {size.by=area}',
      '[basal area] factor <small:5..40> {size.value=#} {size.by=factor}',
      '<small:5..40> factor [prism | gauge] {size.value=#} {size.by=factor}',
    ],
  },
  {
    id: 'plotSlope',
    patterns: [
      '[on a | the] slope [here] [is | of] [<plus>] <baseAngle:5..60> {slope=#u}',
      'slope [is] <minus> <baseAngle:5..60> {slope=#-u}',
    ],
  },
  {
    id: 'plots.open',
    family,
    help: 'Begins a plot: its number, its size or basal area factor, its slope.',
    sets: ['kind=plot', 'op=open'],
    weight: 2,
    patterns: [
      "[new | next | start | starting | open | begin | this is | that's | we're on] plot [number] <wholeSpoken:1..60> {number=#} [<plotSize>] [<plotSlope>]",
      '(new | next | start | open | begin) [a] [gauge | prism | variable [radius]] plot [with [the | a]] <plainSize> [<plotSlope>]',
      '(new | next | start [a] | open [a] | begin | [move] on to the next) plot',
    ],
    examples: [
      {
        words: 'plot seven tenth acre',
        note: { kind: 'plot', op: 'open', number: 7, size: { by: 'area', value: 0.1, unit: 'acre' } },
      },
      {
        words: 'plot eight factor ten',
        note: { kind: 'plot', op: 'open', number: 8, size: { by: 'factor', value: 10 } },
      },
      {
        words: 'plot three point oh four hectares',
        note: { kind: 'plot', op: 'open', number: 3, size: { by: 'area', value: 0.04, unit: 'ha' } },
      },
      { words: 'next plot', note: { kind: 'plot', op: 'open' } },
    ],
  },
  {
    id: 'plots.size',
    family,
    help: 'The size of the plots from here on: an area, a radius, a basal area factor, or a tally of every tree.',
    sets: ['kind=plot', 'op=size'],
    patterns: [
      '[plots | plot size [is] | use [a] | (variable | fixed) (plot | plots) [of]] <plotSize>',
      '[the | this] plot [number] [<plainCount:1..60> {number=#}] (was | is really | should be | should have been) [a | an] <plotSize>',
      '(change | make | resize) (plot <plainCount:1..60> {number=#} | (this | the) plot) [to] [a | an] <plotSize>',
    ],
    examples: [
      {
        words: 'fifth acre plots',
        note: { kind: 'plot', op: 'size', size: { by: 'area', value: 0.2, unit: 'acre' } },
      },
      {
        words: 'factor two metric',
        note: { kind: 'plot', op: 'size', size: { by: 'factor', value: 2, unit: 'm2/ha' } },
      },
      {
        words: 'radius thirty seven point two feet',
        note: { kind: 'plot', op: 'size', size: { by: 'radius', length: { value: 37.2, unit: 'ft' } } },
      },
      { words: 'tally every tree', note: { kind: 'plot', op: 'size', size: { by: 'tally' } } },
      {
        words: 'plot one was a fifth acre',
        note: { kind: 'plot', op: 'size', number: 1, size: { by: 'area', value: 0.2, unit: 'acre' } },
      },
    ],
  },
  {
    id: 'plots.slope',
    family,
    help: 'The slope of the plot in hand.',
    sets: ['kind=plot', 'op=slope'],
    patterns: ['[plot] <plotSlope>', '<baseAngle:5..60> slope {slope=#u}'],
    examples: [
      {
        words: 'slope thirty percent',
        note: { kind: 'plot', op: 'slope', slope: { value: 30, unit: 'pct' } },
      },
      {
        words: 'twenty degrees slope',
        note: { kind: 'plot', op: 'slope', slope: { value: 20, unit: 'deg' } },
      },
      {
        words: 'slope minus fifteen percent',
        note: { kind: 'plot', op: 'slope', slope: { value: -15, unit: 'pct' } },
      },
    ],
  },
  {
    id: 'plots.reopen',
    family,
    help: 'Takes up a plot again that was closed.',
    sets: ['kind=plot', 'op=reopen'],
    patterns: [
      '(reopen | open again) [the] plot [<plainCount:1..60> {number=#}]',
      '(reopen | go back to | back to) plot <plainCount:1..60> {number=#}',
      'open plot <plainCount:1..60> {number=#} again',
      '(reopen | go back to | back to) the last plot',
      'add (a tree | trees | one | another [tree]) (to | on) plot <plainCount:1..60> {number=#}',
    ],
    examples: [
      { words: 'reopen plot one', note: { kind: 'plot', op: 'reopen', number: 1 } },
      { words: 'back to plot two', note: { kind: 'plot', op: 'reopen', number: 2 } },
      { words: 'reopen the last plot', note: { kind: 'plot', op: 'reopen' } },
    ],
  },
  {
    id: 'plots.renumber',
    family,
    help: 'Gives a plot another number.',
    sets: ['kind=plot', 'op=renumber'],
    patterns: [
      '(change [the number of] | renumber) (plot <plainCount:1..60> {number=#} | this plot) to [plot] <count:1..60> {to=#}',
      '(this | that) (is | was) plot <count:1..60> {to=#} not [plot] <plainCount:1..60> {number=#}',
      'plot <plainCount:1..60> {number=#} (is really | was | should be) plot <count:1..60> {to=#}',
    ],
    examples: [
      { words: 'change plot one to seven', note: { kind: 'plot', op: 'renumber', number: 1, to: 7 } },
      { words: 'plot one should be plot seven', note: { kind: 'plot', op: 'renumber', number: 1, to: 7 } },
      { words: 'change this plot to seven', note: { kind: 'plot', op: 'renumber', to: 7 } },
    ],
  },
  {
    id: 'plots.close',
    family,
    help: 'Ends the plot in hand.',
    sets: ['kind=plot', 'op=close'],
    patterns: [
      '(close | end | finish | finished | done with) [the | this] plot [<plainCount:1..60> {number=#}]',
      'plot [<plainCount:1..60> {number=#}] [is] (done | finished | closed)',
      "[that is | that's] [the] end of [the | this] plot [<plainCount:1..60> {number=#}]",
      '(this plot is done | plot complete | that is the plot)',
    ],
    examples: [
      { words: 'close plot', note: { kind: 'plot', op: 'close' } },
      { words: 'close plot seven', note: { kind: 'plot', op: 'close', number: 7 } },
      { words: 'plot done', note: { kind: 'plot', op: 'close' } },
    ],
  },
  {
    id: 'plots.empty',
    family,
    help: 'A plot without a tree. It counts.',
    sets: ['kind=plot', 'op=empty'],
    patterns: [
      'empty plot [<plainCount:1..60> {number=#}]',
      "(plot [<plainCount:1..60> {number=#}] (empty | is empty) | this plot is empty | [this] plot's empty)",
      'plot <plainCount:1..60> {number=#} no trees',
      '(zero trees | [there are] no trees [here | (on | in) (this | the) plot] | nothing (here | (on | in) (this | the) plot) | no trees on plot <plainCount:1..60> {number=#})',
    ],
    examples: [
      { words: 'empty plot', note: { kind: 'plot', op: 'empty' } },
      { words: 'plot two is empty', note: { kind: 'plot', op: 'empty', number: 2 } },
      { words: 'no trees here', note: { kind: 'plot', op: 'empty' } },
    ],
  },
  {
    id: 'inOrOut',
    patterns: ['[is it | is that [one] | is she] (in or out | in) | borderline | limiting distance'],
  },
  {
    id: 'borderAt',
    patterns: [
      '[to] (centre | center) [at | is] <near> {to=centre}',
      '[to | near] face [at | is] <near> {to=face}',
      '(at | distance) <near> [<borderTo>]',
      '(<spoken:15..60> (<feetUnit> | <metreUnit>) | <wholeSpoken:15..60> <feetInches>) {distance=#u} [<borderTo>]',
    ],
  },
  { id: 'borderTo', patterns: ['to [the] (centre | center) {to=centre}', 'to [the] face {to=face}'] },
  { id: 'near', patterns: ['<measured:15..60> {distance=#u}'] },
  {
    id: 'borderTree',
    patterns: [
      '<species> [<diameterNumber> {diameter=#u} | <inches> {diameter=#u}]',
      '[a | an] <inches> {diameter=#u} [<species>]',
      '<dbh> <diameterNumber> [<inchUnit>] {diameter=#u}',
    ],
  },
  {
    id: 'plots.borderline',
    family,
    help: 'Is a tree at the border in or out? Say the distance to its centre or its near face; the diameter where the plot has a factor.',
    sets: ['kind=borderline'],
    weight: 2,
    patterns: [
      '[<facts/borderTree>] <borderAt> [<plotSlope>] <inOrOut>',
      '<inOrOut> [<facts/borderTree>] <borderAt>',
      '[distance] <near> <borderTo>',
    ],
    examples: [
      {
        words: 'fourteen inches at thirty eight point six feet in or out',
        note: {
          kind: 'borderline',
          facts: { diameter: { value: 14, unit: 'in' } },
          distance: { value: 38.6, unit: 'ft' },
        },
      },
      {
        words: 'nine inch beech face at thirty six point nine in or out',
        note: {
          kind: 'borderline',
          facts: { species: 'beech', diameter: { value: 9, unit: 'in' } },
          distance: { value: 36.9 },
          to: 'face',
        },
      },
      {
        words: 'beech centre at thirty six point nine feet in or out',
        note: {
          kind: 'borderline',
          facts: { species: 'beech' },
          distance: { value: 36.9, unit: 'ft' },
          to: 'centre',
        },
      },
    ],
  },
  {
    id: 'standArea',
    patterns: ['<area:2..200> {area=#u}'],
  },
  {
    id: 'plots.stand',
    family: 'Stand',
    help: 'Begins a stand, with its name and area.',
    sets: ['kind=stand'],
    // Without an area it needs a word before it: "stand back" and "stand clear" are warnings.
    patterns: [
      '[new | this is] [the] stand [is] <name> [is] <standArea>',
      '(new | this is | start | back to | go to) stand <name>',
    ],
    examples: [
      {
        words: 'stand alder hollow twelve acres',
        note: { kind: 'stand', name: 'alder hollow', area: { value: 12, unit: 'acre' } },
      },
      {
        words: 'stand mill lot forty acres',
        note: { kind: 'stand', name: 'mill lot', area: { value: 40, unit: 'acre' } },
      },
      { words: 'new stand back forty', note: { kind: 'stand', name: 'back forty' } },
    ],
  },
  {
    id: 'plots.stratum',
    family: 'Stand',
    help: 'Begins a stratum of the stand: a part that is sampled and counted by itself.',
    sets: ['kind=stratum'],
    patterns: [
      '[new | this is | back to | go to] [the] stratum [is] <name> [[is] <standArea>]',
      "(we're in | we are in) stratum <name> [now]",
    ],
    examples: [
      {
        words: 'stratum ridge twelve acres',
        note: { kind: 'stratum', name: 'ridge', area: { value: 12, unit: 'acre' } },
      },
      {
        words: 'stratum creek bottom four point five hectares',
        note: { kind: 'stratum', name: 'creek bottom', area: { value: 4.5, unit: 'ha' } },
      },
      { words: 'new stratum north bench', note: { kind: 'stratum', name: 'north bench' } },
    ],
  },
];
