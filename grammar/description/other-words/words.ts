/** Other words for remarks, short forms, people, names of one's own, settings, places and plots. */
import { shortSpecies as speciesByLetters } from './concepts.ts';
import type { OtherWords } from './rows.ts';

/** What is to be written down as it was said. */
const remarks: OtherWords = [
  ['^(?:the |that )?([a-z]+(?: [a-z]+)?) has (?:got )?((?:an? |some )?~(?: .*)?)$', 'for the $1, remark $2'],
  ['^(?:add a (?:note|remark)|note to self|make a (?:note|remark)|take a note),? (?:that )?', 'remark '],
  ['^(?:put|write|jot|note) (?:down |this down )?that ', 'remark '],
  ['^(?:put|make|add) (?:down )?an? (?:note|remark) (?:on|for|about|to) the (.+?), ', 'for the $1, remark '],
  ['^(?:flag|mark|tag) the (.+?) as (?:an? )?(?!dead|cull|live)', 'for the $1, remark '],
  [
    "^the (.+?)(?:'s| is| has)(?: got)? (.+?), (?:make|add|take|put down) an? (?:remark|note)$",
    'for the $1, remark $2',
  ],
];

/** Short forms of single words, wherever they stand. */
const shortForms: OtherWords = [
  ['btw', ''],
  ['^right$', 'yes'],
  ['strat', 'stratum'],
  ['(?:scrib|scr)', 'scribner'],
  ['mbf', 'board feet'],
  ['(?:his|their)', 'my'],
  ["(?:that'd be|that would be|that'll be)", "that's"],
  ['(# (?:inches|inch|centimetres)?) ?wide', '$1 through'],
  ["(?:i|i'm|i am) gonna", 'i will'],
  ['(?:points|pts)', 'plots'],
  ['(?:pt|p|pl|plt) (?=#)', 'plot '],
  ['^point (?=#)', 'plot '],
  ['(?<=this |that |the |on |at |close |end |finish |next |last |same |new |to |for )point', 'plot'],
  ['(tenth|fifth|quarter|half|twentieth) acres', '$1 acre'],
  ['^t # (?=[a-z])(?!height|h |ht|should|was|is|has|stick|at|from|logs|inch|cm)', ''],
  ['(?:^|(?<= ))t (?=#)', 'tree '],
  ['ba', 'basal area'],
  ['(?:tpa|trees to the acre)', 'trees per acre'],
  ['(?:tph|stems ha)', 'trees per hectare'],
  ['(?:bdft|bd ft|bf)', 'board feet'],
  ['vol', 'volume'],
  ['(area|volume|feet|trees|stems|tons|cords|biomass|carbon) (?:ac|acres)', '$1 per acre'],
  ['(area|volume|feet|trees|stems|tons|cords|biomass|carbon) (?:per )?acre$', '$1 per acre'],
  [
    '(area|volume|feet|trees|stems|tons|cords|biomass|carbon|metres) (?:per )?(?:ha|hectares|hectare)$',
    '$1 per hectare',
  ],
  ['m (?:two|three) ha', 'per hectare'],
  ['# metres two', '$1 square metres'],
  ['(?:sq m|sqm|square m)', 'square metres'],
  ['(?:avg|ave)', 'average'],
  ['spp', 'species'],
  ['del', 'delete'],
  ['w', 'with'],
  ['thru', 'through'],
  ['samp', 'sampling'],
  ['err', 'error'],
  ['(?:hypso|vertex)', 'hypsometer'],
  ['(?:clino|phone|app)', 'clinometer'],
  ['bl (?=oak|cherry|walnut|spruce|locust|gum|ash|birch)', 'black '],
  ['wh (?=oak|pine|ash|spruce|birch|fir|cedar)', 'white '],
  ['r (?=oak|pine|maple|spruce)', 'red '],
  ['y (?=birch|poplar)', 'yellow '],
  ['(?:n|northern) red(?! oak|pine|spruce)', 'northern red oak'],
  ['n trees', 'how many trees'],
  ['g total', 'total basal area'],
  ['r(?: is)? (?=#)', 'radius '],
  ['d(?: is)? (# (?:metres|feet))', 'from $1'],
  ['d(?: is)? (?=#)', 'dbh '],
  ['h(?: is)? (?=#)', 'height '],
  ['# (?:p|pc)(?=,|$)', '$1 paces'],
  ['# st(?=,|$)', '$1 steps'],
  ['height # (paces|steps)', '$1 $2'],
  ["(?:whats|wuts|what's|what're)", 'what is'],
  ["how's", 'how is'],
  ["what've", 'what have'],
  ["we've", 'we have'],
  ["i've", 'i have'],
  ["i'd", 'i would'],
  ["she's|he's", "it's"],
  ["they're|there're", 'there are'],
  ['thats', "that's"],
  ["there's|theres", 'there is'],
  ['(?:she|he)', 'it'],
  ['(?:her|him)(?! own)', 'it'],
  ["(?:aint|ain't|isnt)", "isn't"],
  ['(?:metric|metres|meters) (?:please|from here|from now on)', 'metric'],
];

/** Species in two or more letters, before a diameter. */
const shortSpecies: OtherWords = [...speciesByLetters].map(
  ([letters, name]) => [`^${letters} (?=#)`, `${name} `] as const,
);

const people: OtherWords = [
  ['^% is (pace|step|stride)(?: is| of| runs)? (?=#)', 'crew $1, my $2 is '],
  ['^% is (?:eye|eyes|eye height)(?: is| are| at)* ?(?=#)', 'crew $1, eye '],
  [
    '^(?:this is|you(?: have)? got|you are talking to) %(?: here| now| again| back| talking| speaking| calling| on the book)*$',
    'crew $1',
  ],
  ["^(?:it's|it is) %(?: here| now| again| back| talking| speaking| calling)+$", 'crew $1'],
  [
    '^% (?:here|back again|back|again|calling|talking|speaking|on the book)(?: now| again| here)*$',
    'crew $1',
  ],
  ["^%(?:'s| is) (?:gone|off|out|away|done)(?: [^,]*?)?, (?:it's |it is |this is |and )?(?=crew )", ''],
  ['^(?:swap|swap back|swapping|switch|switching|over to %), (?=crew )', ''],
  ['^crew(?: today)? is % and %, (?=crew )', ''],
  ['^crew(?: today)? is % and %$', 'crew $1 and $2'],
  ["(?<=crew [a-z]+), %(?:'s| is| has)(?: got)? the (?:tape|stick|prism|pole|pencil|caliper|calipers)$", ''],
  ["^(?:now )?(?:it's |it is )?% (?:is )?turn(?: now)?$", 'crew $1'],
  ['^the @ is here, %(?:, .*)?$', 'crew $2'],
];

/** What a name of one's own stands for. */
const names: OtherWords = [
  [
    '^(?:when|where|if|whenever|wherever) (?:i|we) say (.+?),? (?:i|we|it|that) (?:mean|means|am talking about|are talking about) (?:an? |the )?(.+)$',
    'call $2 $1',
  ],
  ['^(?:(?:round|around) here,? )?(?:we|they|folks|people|i)(?: all| always)? call (?:an? |the )?', 'call '],
  [
    '^(?:from now on,? |round here,? |around here,? )?~ (?:means|stands for|is short for|is what (?:i|we) call|is (?:my|our) (?:word|name) for) (?:an? |the )?(.+)$',
    'call $2 $1',
  ],
  ['^from now on,? ~ is (?:an? |the )?(.+)$', 'call $2 $1'],
];

const settings: OtherWords = [
  [
    "(?:my )?(pace|paces|step|steps|stride|strides)(?:'s| is| are)? (?:runs?|goes|measures?|comes? to|comes? out at|about|around|roughly)(?: about)? (?=#)",
    'my $1 is ',
  ],
  ['(?:i|my legs) (?:pace|step|stride) (?:at |about )?(?=#)', 'my step is '],
  [
    "(?:my |the )?(?:eyes?|eye height|eye level|eyeline)(?:'s| is| are| sits| sit| stands)?(?: at| about| around)*(?: about)? (.+?) (?:off|from|above) the (?:ground|dirt|floor)",
    'eye $1',
  ],
  ['(?:from )?the ground to my eyes?(?: is)?', 'eye'],
  ['(?:i )?stand # (inches|feet|foot|centimetres) to the eyes?', 'eye $1 $2'],
  ["^(?:my |the )?(?:eyes?|eye height|eye level)(?:'s| is| are)?(?: at)?(?: about| around) (?=#)", 'eye '],
  ["^i(?:'m| am) (?:taller|shorter), eyes? (?:at|is) ", 'eye '],
  ["(?:put |do |set |keep )?everything(?:'s| is)?(?: in)? metric", 'metric'],
  ["(?:put |do |set |keep )?everything(?:'s| is)?(?: in)? (?:feet and inches|feet|imperial)", 'units feet'],
  ['^(?:back to |in )?feet and inches', 'units feet'],
  ['^(?:back to|switch (?:me |us )?(?:back )?to) (?:feet|imperial)$', 'units feet'],
  ['^(?:back to|switch (?:me |us )?(?:back )?to|in) (?:metres|meters|metric)(?: a minute)?$', 'metric'],
  [
    '^(?:my )?(?:stick is as long as my arm|stick and arm(?: are)?(?: both)?), # (inches|centimetres)$',
    'equal stick',
  ],
];

const places: OtherWords = [
  [
    "^(?:it is|it's) (?:the )?(.+?) (?:that )?(?:we are|we're) (?:doing|in|on|at)(?: today)?$",
    'new stand $1',
  ],
  [
    "^(?:we are|we're|i am|i'm|working)?(?: in| on| at)? ?the (.+?) (?:tract|woodlot|parcel|property|sale|unit|compartment|lot)(?: today| now)*$",
    'new stand $1',
  ],
  [
    '^(?:stand|block|compartment|tract|unit|parcel|woodlot) (?:is (?:called |named )?|called |named |name is )',
    'new stand ',
  ],
  [
    "^(?:i am going to |i'm going to |i will |let's )?call this (?:piece|place|stand|patch|block)(?: the)? ",
    'new stand ',
  ],
  ['^(?:new )?stratum, ', 'new stratum '],
  ['(new stand .+?), ((?:upper|lower|north|south|east|west|middle) ~?.*?)$', '$1, new stratum $2'],
];

const plots: OtherWords = [
  ['(plot #), go$', '$1'],
  [
    "^(?:set up|starting|start|start on|begin|beginning|opening|open up|on to|onto|over to|going to|moving to|move to|moving on to|next is|we are on|we are at|i am on|i'm on|i'm at|we're on|we're at|now|here is|this is|now number|at) (?:my |the )?(?=plot #)",
    '',
  ],
  ['^(?:now |open |start |begin |on to |onto )(?:number )?#$', 'plot $1'],
  ['^(?:starting|start|opening|open|begin|this is) my first plot$', 'plot one'],
  ['^(?:start|open|begin)(?: us)? an? (.+? (?:acre|hectare)) plot$', 'new plot $1'],
  [
    '^(?:close|end|finish|wrap|pack|shut)(?: up)? (?:plot )?# (?:and|then),? (?:open|start|begin|on to|move to|go to) (?:plot )?#',
    'close plot $1, plot $2',
  ],
  ['^(?:close|end|finish|wrap)(?: up)? #(?=,|$)', 'close plot $1'],
  ['^(?:open|start|begin) (?:up )?#(?= but|,|$)', 'plot $1'],
  ['^same size$', ''],
  [
    "^(?:that's|that is|that's it|that is it|that's all|that is all|that does it|that wraps up|that closes|that finishes|all done|done|finished|we are done|i am done|i'm done)(?: (?:it|all|of them|them|with))*(?: (?:for|on|with|in|up|at))? (?:here|this one|this plot|the plot|plot(?: #)?|#)$",
    'close plot',
  ],
  ['^(?:close|end|finish|wrap|shut)(?: it| her| this one| this| up| out| here| down)+$', 'close plot'],
  ['^(?:that wraps up|that closes|that finishes) (?:plot )?#$', 'close plot $1'],
  ['^(?:done|finished|all done) here$', 'close plot'],
  ['^(?:and )?(?:on|move on|moving on|over|off)? ?to the next(?: one| plot)?$', 'next plot'],
  ['^plot # (?:end|over|complete)$', 'close plot $1'],
  [
    '^(plot #)(?:,| is| has)?(?: a clearing,?)? ?(?:nothing in(?: it)?|nothing(?: here| there| on it)?|not a (?:single )?tree(?: in it| on it| here)?|no trees?(?: in it| on it| in)?|zero trees)$',
    '$1 is empty',
  ],
  [
    '^(?:carry on with|continue with|continue|resume|back to|back on|go back to|return to|and back to) (?:plot )?#(?=,|$)',
    'back to plot $1',
  ],
  ['^(plot #),? (?:but )?(?:use |with |using |by )?(?:an? )?# factor(?: prism)?', '$1 factor $3'],
  [
    "^(?:i am |i'm |we are |we're )?(?:using|running|on)? ?an? # factor(?: prism| gauge)?(?: all day| today| here| throughout)?$",
    'factor $1',
  ],
  ['^# baf(?: prism| gauge)?$', 'factor $1'],
  [
    '^(?:fixed )?plots(?: are)?(?: circles| round| circular| rounds)?,? (?:of )?(?:an? )?(?=radius|# (?:metre|metres|feet|foot) radius)',
    'plots ',
  ],
  ['# (?:metre|metres|meter) radius', 'radius $1 metres'],
  ['# (?:foot|feet) radius', 'radius $1 feet'],
  ['(?<!plot )# radius(?! #)', 'radius $1'],
  [
    '(acre|acres|hectare|hectares|metres) (?:rounds|circles|circular plots|plots each|each|round plots)',
    '$1 plots',
  ],
  ['^((?:a |one )?(?:tenth|fifth|quarter|half|twentieth|fiftieth) acre)(?: plots)?, radius .+?$', '$1 plots'],
  [
    '(plot # (?:should be|was|is)) (?:a |one )?(fifth|tenth|quarter|half|twentieth|fiftieth)$',
    '$1 a $3 acre',
  ],
  ["(?:and )?(?:it's|it is) (?:steep|sloping|on a slope),? (?=#)", 'slope '],
  ['slope is #', 'slope $1'],
  ['(slope # percent|slope # degrees)(?: here| on this one)$', '$1'],
  [
    "(?:that(?:'ll| will) do(?: me| us| it)?|that's all|that is all|all done|we are done|done)(?: (?:for|with))?(?: (?:today|the day|now|the night))?(?:, close up)?(?:, thank you|, thanks)?$",
    'stop listening',
  ],
];

export const wordRows = {
  remarks,
  shortForms,
  shortSpecies,
  people,
  names,
  settings,
  places,
  plots,
} as const;
