/**
 * What single words and short phrases speak of, beyond the description's own: the lexicon of the composing reader
 * (`grammar/reading/composer.ts`). A word may speak of several things; which one it is, its neighbours tell. No sentence
 * stands here: what is said is put together from the words, whatever their order. Common practice, no source.
 */

const table = {
  // Trees.
  dbh: 'thickness|in thickness|diameter tape|d tape|dbh tape|dbh|d b h|diameter|diameters|dia|diam|diams|through|thru|across|thick|wide|breast height|chest height|above the swell',
  girth:
    'girth|around its middle|round its middle|round her middle|around|round|circumference|in circumference|round the middle|around the middle|in girth',
  tall: 'tall|h|hgt|high|height|heights|ht|as tall as|in height',
  log: 'log|logs|saw logs|sawlogs|saw log|sawlog|sixteen foot logs|sixteen foot log',
  noLogs: 'no logs|pulp|pulp only|pulpwood|no log',
  merch: 'merch|merchantable|merch top|merchantable height|merch height|to the merch top',
  defect: 'defect|defective|def|unsound|dock|docked|knock off|knock|take off|deduct|off for|lost|loss',
  rot: 'rotten|rot|cull|gone|butt rot|waste|wasted|no good|unusable|punky|decayed|decay|useless|soft|soft at the butt|sweep|rotten out',
  dead: 'deid|goner|a goner|gone to glory|dead|standing dead|snag|snags|dead standing|dead as a doornail|dead and standing|died|beetle killed|stone dead|killed|toast|carked it|croaked|kicked the bucket|pushing up daisies|stone cold dead',
  live: 'green|lives|it lives|alive|live|living|still alive|still green|not dead',
  cull: 'cull|culls|culled|cull tree|cull trees|all cull|rotten through|rotten clear through|rotten right through',
  inRow:
    'avenue|hedgerow|on the bounce|on the trot|in a row|in a line|side by side|in succession|one after another|one after the other|running|together|in a clump|in a group',
  unmeasured:
    'did not tape|did not tape them|did not measure|did not measure them|not taped|not measured|no diameter|no diameters|without diameter|without diameters|no dbh|untaped|unmeasured|no tape on them|did not get the diameter|did not bother with diameters',
  each: 'each|apiece|all of them|both|a piece|every one|all|ea|every|in each',
  noHeight:
    'no height taken|no heights taken|not measured for height|neither measured for height|no height|no ht|without height|without a height|not bothering with height|did not get its height|no heights',
  tree: 'tree|trees|stem|stems|trunk|trunks|specimen|tr|individual|individuals',
  next: 'more|following|the following|add|skipped|missed|forgot|next|next one|next tree|next up|another|another one|one more|a second|a second one|also|first|first one|first tree|beside it|next to it',
  again: 'same again|ditto|same|again|another the same|another one the same|same as before',
  times: 'times|x',
  ofThem: 'of them|of those|of these|em|of em',
  out: 'out|outside|outside the plot|outside the circle|outside it|past the line|over the line',
  in: 'in|inside|counted in|just in|barely in',
  borderline:
    'borderline|in or out|is she in|is it in|limiting distance|on the edge|on the line|border tree|right on the edge|on the border',
  /** What a tree may have that is no measure of it: kept as it was said. */
  condition:
    'not sure which|not sure which one|not sure what kind|do not know which|kind unknown|species unsure|not sure of the species|catface|cat face|pruned|limbed|pollard|pollarded|coppice|coppiced|cored|tagged|girdled|ring barked|debarked|stripped|unstripped|peeled|scarred|scar|scars|wound|wounds|wounded|damaged|damage|browsed|rubbed|gnawed|chewed|' +
    'blown over|half blown over|blown down|windblown|wind blown|windthrown|windthrow|uprooted|roots up|root plate up|fallen|hung up|twisted|spiral grain|shake|ring shake|burrs|burr|woodpecker holes|woodpecker|nest|nests|hive|' +
    'fungus|fungi|conk|conks|bracket|brackets|mushrooms|rust|blister rust|blight|dieback|dying|declining|epicormic|epicormics|mistletoe|lichen|moss|mossy|caterpillars|galls|gall|weevil|weevils|borer|borers|resin|pitching|bleeding|cracked|crack|cracks|' +
    'split|split trunk|double leader|twin leader|twin leaders|double tops|twin tops|multi stemmed|lightning|struck|planted|flat topped|stag headed|spike topped|thin crown|no needles|no leaves|needles|leaves|yellowing|browning|defoliated|storm damage|snow damage|topped|' +
    'lopped|root rot|bark disease|bark beetles|beetle holes|bark off|loose bark|bark loose|bark|creeper|climber|wire in it|nails in it|burnt|scorched|blackened|gummosis|bowed|bent|swept|pistol butt|fluted|flared|buttressed|good form|poor form|healthy|sick|sickly|poorly|thriving|' +
    'tapped|tap hole|tap holes|gum spots|wormy|worm holes|black knot|knots|knotty|branchy|bushy|one sided|cavities|burls|weeviled|weevilled|weevil damage|budworm|adelgid|woolly adelgid|aphids|scale insects|cankered|sapsucker|sapsucker holes|drawn up|low vigour|low vigor|vigorous|sparse|deadwood|grapevine|grapevines|open grown|seed tree|crop tree|habitat tree|wildlife tree|nest box|bat box|veneer|grade|firewood|squirrel damage|deer damage|bear damage|bear scratches|fraying|frost rib|fork low down|on one side|one side|squirrel|squirrels|porcupine|porcupines|voles|carpenter ants|bats|owl|owls|woodpeckers|lying|good sawlog|good saw log|nice sawlog|sawlog quality|veneer stem|veneer quality|veneer butt',
  // Heights.
  off: 'to where|from where|off|off the ground|above the ground|from the ground|away|back|out|from|at|distant|to the trunk|to the stem|to the tree|standing|stood|standing off|from the tree|from the trunk|from the stem|horizontal|horizontally',
  distance: 'distance|distances|dist|range|baseline|base line|horizontal distance|ground distance',
  tape: 'tape|taped|on the tape|tape says|by tape|with the tape|the tape|measured|measure',
  walk: 'walked|walk|paced|pace|went|took|counted|steps back|stepped|step|put|held|got|there|there with',
  stick:
    'the stick point|stick|cane|the stick|stick method|equal stick|stick point|yardstick|broomstick|rod|stick ok',
  meets:
    'lines up|lined up|line up|meets|met|meets it|matched|matches|match|matching|touches|touched|even with the top|even with|sits on the top|on the top|tips line up|lined|level with the top|tip lined up|tip on the top',
  covers:
    'covers|covered|cover|hides|hid|hidden|just covers|fits|fitted|fit|spans|spanned|top to bottom|bottom to top|with top and bottom|foot to tip|tip to foot|foot to top|top to foot|base to tip|tip to base|base to top|butt to tip|tip to butt|stump to tip|root to tip|ground to tip|end to end|the whole tree|the whole of it',
  laid: 'laid|lay|laying|turned|swung|folded|flat|over|sideways|down|landed|lands|hit the ground|hit|came down|comes down|came to ground|hits|fell|falls|touched down|end of it|to the ground|on the ground|to where the tip',
  top: 'elevation|angle of elevation|top|tip|crown|up|to the top|to the tip|up to the top|up to the tip|crown at|plus|leader',
  base: 'up to the butt|up to the base|up to the foot|up to the bottom|down to the butt|down to the bottom|down to the stump|depression|angle of depression|at the stump|to the stump|the stump end|base|bot|bottom|butt|foot|down|down to the base|down to the foot|to the base|to the bottom|to the foot|to the butt|minus|foot of it|below',
  level:
    'level ground|ground is level|ground level|on level ground|the ground is flat|level|eye level|flat ground|on the level',
  scale: 'topo|topographic|topo scale|topographic scale|sixty six scale|same scale|sixty six foot scale',
  angle:
    'the scale|the scale says|scale says|the scale reads|scale reads|percent scale|the percent scale|on the percent scale|degree scale|the degree scale|on the degree scale|angle|angles|clinometer|clino|sight|sighted|read|reads|reading|look|looking|degrees|percent|per cent|measure',
  device: 'laser|hypsometer|vertex|rangefinder|range finder|device|instrument|hypso|sonic|phone|app',
  slope:
    'falling away|falls away|ground is falling away|ground falling away|ground falls away|slope|sloping|steep|gradient|ground falls|along the slope|along the ground|slope distance|slope dist|along the slope of|slope tape|slope taped|on the slope distance|up the slope|down the slope|ground is',
  belowFeet:
    'above the bottom of it|above the bottom|above its bottom|above the base|above its base|above the base of it|above the foot of it|above its foot|above the stump|beneath my boots|under my boots|lower than where i am standing|below where i am standing|downhill of me|below my feet|lower than my feet|below me|below where i stand|beneath my feet|lower than where i stand|under my feet|lower than me|below my boots|lower down than me',
  aboveFeet:
    'below the bottom of it|below the bottom|below its bottom|below the base of it|below its base|below the foot of it|below its foot|higher than where i am standing|above where i am standing|uphill of me|above my feet|higher than my feet|above me|above where i stand|higher than where i stand|higher than me|above my boots|higher up than me',
  hill: 'uphill|downhill|upslope|downslope|up the bank|down the bank|up the hill|down the hill',
  eye: 'eye|eyes|eye height|eye level|eyeline|sight from|sighting height',
  pole: 'pole|staff|range pole|ranging pole|ladder|post|fence post',
  shadow: 'shadow|shadows|casts|cast|throws|thrown|throw',
  arm: 'arm|reach|from my eye|from the eye|from eye|held at|held out|arm is',
  lean: 'leans|leaning|lean|leaner',
  estimate:
    'put her at|put it at|put him at|put that at|put this at|put them at|put that one at|put this one at|guess|guessing|estimate|estimated|eyeball|eyeballed|at a guess',
  guess:
    'some sort of|some kind of|of some kind|of some sort|a sort of|a kind of|goodness knows how|who knows how|hard to say how|could not say how|no idea how|do not know how|i would put her at|more like|more like it|reckon|about|say|roughly|call it|maybe|probably|approximately|or so|more or less|near enough|give or take a bit|goodness knows',
  /** One more reading of the same tree. */
  retake:
    'same tree|the same tree|the same one|the same stem|same stem|same one|from the other side|on the other side|from another side|from across|from a different spot|from another spot|from the opposite side|from the far side|two sides of|two sides of it|both sides of|from two sides|from both sides|' +
    'a second go|a third go|a fourth go|a second reading|a third reading|a second shot|a third shot|a second try|a third try|a third look|a second look|a third measurement|second go|third go|fourth go|another go|one more go|second reading|third reading|fourth reading|another reading|one more reading|second shot|third shot|another shot|one more shot|second try|third try|another try|one more try|second look|another look|one more look|second measurement|third measurement|another measurement|' +
    'two goes at|two goes|two shots|two tries|two readings|two readings of|two readings on|two measurements of|three goes|three readings|two walks|walked it twice|paced it twice|measured it twice|did it twice|' +
    're shot|reshot|re shooting|reshoot|re shoot|shot it again|shot again|re measured|remeasured|measured it again|measured again|re taped|retaped|taped it again|re paced|repaced|paced it again|paced again|walked it again|walked again|did it again|done again|took it again|tried it again|tried again|redid|re did|redid it|re did it|read it again|went round|went round and|' +
    'check|checked|checking|checked it|checking it|checked that|to check|to check it|as a check|a check|just to check|double check|double checking|double checked|to be sure|just to be sure|to make sure|check reading|check shot|check measurement|repeat reading|repeat|repeated|repeat shot',
  /** The eye is not to be added. */
  noEye:
    'do not add my eyes|do not add my eye|do not add the eye|do not add eye height|do not add the eye height|do not add my eye height|do not add the eyes|without my eye|without my eyes|without the eye|without eye height|no eye height|no eye|no eyes|eye not added|nothing to add|nothing added|add nothing|do not add anything|leave my eyes out|leave the eye out|leave out the eye|skip the eye|eye does not count|no need for the eye|no need to add the eye|no need to add my eye|no need for my eyes',
  // Plots and places.
  rectangle: 'rectangle|rectangular|square|squares|oblong|sides|quadrat',
  plot: 'plot|plots|peg|pegs|samples|quadrats|stop|stops|point|points|station|stations|circle|sample|pt|pts|pl|plt|plot number|stop number|point number|number',
  open: 'pegged|staked|marked|marked out|mark out|set out|laid out|flagged|away we go|here we go|off we go|entered|open|opens|start|starting|begin|beginning|set up|setting up|opening|on to|onto|move to|moving to|move on to|moving on to|over to|going to|go to|go on to|on with|now at|start on|moved to|arrived at|new',
  close:
    'that is us|that is that|close|closing|closed|end|ended|finish|finished|done|shut|wrap|wraps up|wrap up|wrapping up|complete|completed|over|leaving|leaving it|picking up|pack up|knock off|close up|all done|done with|finished with|that is it|that is all|that does it',
  nextPlot:
    'next plot|next stop|next point|the next stop|the next plot|the next point|next station|next peg|next pin|next stake|next centre',
  here: 'circle i am in|plot i am in|plot i am on|point i am at|stop i am at|circle i am standing in|plot i am standing in|here|this plot|this stop|this point|this one|there|right here|on the slope|on this ground|on this slope|on the hill|hillside|the plot',
  empty:
    'empty|nothing|no trees|no stems|not a tree|not a single tree|not a stem|no tree|nil|nil trees|null|none|clearing|is not a stem|nothing in|zero trees|no trees at all|bare|nothing growing|nothing grows|has no trees|has no trees at all|has got no trees|without trees|without any trees|not one tree',
  reopen:
    'reopen|go over to|going over to|change over to|back to|back on|return to|go back to|carry on with|continue|continue with|resume|reopening|open again',
  radius: 'radius|rad|r|radii',
  factor:
    'factor|baf|prism|relascope|angle gauge|gauge|wedge|basal area prism|basal area factor|bitterlich|variable|variable radius|angle count|relaskop',
  fixed: 'fixed|circular|round|rounds|circles|fixed area',
  stand:
    'stand|tract|lot|woods|woodland|plantation|farm|estate|grove|block|compartment|unit|parcel|woodlot|property|wood|forest|job|place|piece|patch',
  stratum: 'stratum|strata|strat|section|zone',
  // People and settings.
  person:
    'crew|cruiser|talking|speaking|calling|recording|on the book|taking over|takes over|taking notes|measuring now|put me down|name is|is my name',
  kin: 'buddy|uncle|aunt|colleague|friend|mate|helper|assistant|partner|grandkid|grandson|granddaughter|grandchild|kid|son|daughter|wife|husband|brother|sister|cousin|nephew|niece|student|trainee|apprentice|neighbour|neighbor|boss',
  book: 'the book|on the book|with the book|wi the book|has the book|has got the book|keeping the book|pencil|the pencil|clipboard|the clipboard|on the clipboard|notebook|the notebook|the sheet|keeping notes|keeps notes|booking|scribing|scribe|recorder|recording|writing|writing it down|tallying|doing the talking|does the talking|user|observer|is the observer',
  role: 'callipers|calipers|the callipers|on the callipers|taping|shooting|shooting heights|shoots heights|helping|assisting|holding the stick|holding the pole|holding the tape|on the tape|on the stick|on the pole|on the compass|cruising|working|working alone|alone today|all alone|solo|on my own|by myself|on her own|on his own|on her own today|on his own today|flagging|reads|does the reading|reads the next|does the next|doing the next|doing the next one|do the next one|do one|going to do one|is doing one|swap|swap over|swapping|swapping over|switch over|change over|turn now|measuring|carrying|out today|along today|with us|joins|joining|joining us|steps in|stepping in',
  calibrated: 'calibrate|calibrated|calibrating|calibration|length|worked out',
  pace: 'double step|double steps|double pace|double paces|pace|paces|step|steps|stride|strides|walking step|my pace|pacing|step length|pace length|length of my step|length of my pace|paces worked',
  /** Between two marks, a known length apart. */
  course:
    'between the pegs|between the two pegs|between two pegs|between the stakes|between the two stakes|between two stakes|between the posts|between the two posts|between the markers|between the marks|from one peg to the other|from one stake to the other|from peg to peg|from stake to stake|peg to peg|stake to stake|post to post|mark to mark|pegs are|the pegs are|stakes are|the stakes are|two pegs|two stakes|two posts|two markers|apart',
  metric:
    'metric|metres please|centimetres and metres|metres and centimetres|in metres|in metric|in centimetres|centimetres|in cm|cm and m|metres|meters|centimeters|in meters|in centimeters|si units|metric system|metric units',
  imperial:
    'imperial|feet and inches|in feet|feet please|inches and feet|in inches|inches|feet|us units|us feet|imperial units|us feet and inches|inches for diameter|customary',
  // Mending.
  no: 'no|nope|nah|naw',
  not: 'not|never|nor|without|except|except for|but not',
  fix: 'knock it to|knock it down to|knock that to|knock that down to|bring it down to|bring that down to|drop it to|drop it down to|cut it to|cut it down to|changing my mind|changed my mind|change my mind|heard me wrong|heard wrong|you heard me wrong|misheard|you misheard|you misheard me|got that wrong|got me wrong|not what i said|correct|fix|fix it|fix that|oops|sorry|wait|actually|correction|i meant|meant|should be|should have been|should have|was really|is really|really|make that|make it|make|change|changed|change it|change that|i said|rather|ought to be|should read|misread|miscounted|wrong|my mistake|i tell a lie|hold on|hang on|instead|recount|after all|i mean|was actually|is actually|cut that to|turn|hold up|mistake|misspoke|swap|swapped|swap it|switch|replace|ought to say|should say|ought to read|supposed to be|meant to be|supposed to say|meant to say|wants to be|needs to be|can not be|that can not be|shoot|ah shoot|oh shoot|darn|whoops|dang',
  to: 'to|into|as',
  scratch:
    'scratch|delete|remove|strike|drop|bin|scrap|erase|discard|forget|disregard|throw away|throw out|get rid of|lose|kill|dump|cancel|ignore|leave out|take out|take off|cross off|cross out|undo|del|chuck|take away|take back|throw|leave|take|do not keep|do not count|do not log|strike out|toss',
  lastButOne:
    'the tree before this one|the tree before that one|the tree before the last|the tree before the last one|the tree before it|the tree before|tree before this one|tree before that one|tree before the last|one before it|one before this|one before this one|one before that one|one i gave before that|one i gave before that one|one i said before that|one i said before that one|last but one|one before last|one before the last|one before the last one|one before that|second to last|next to last|penultimate|second last|one before',
  restore:
    'return it|return that|return them|i want it back|want it back|put it back|put back|bring back|bring it back|restore|put that back|keep it after all|back in|undelete|bring that back|put them back|put him back',
  last: 'last|last one|previous|last tree|that last|latest|last reading|most recent|newest',
  that: 'add its|add her|add his|that|it|that one|this|this one|them|those|these|that tree|this tree|the tree',
  one: 'one|ones',
  remark:
    'note|remark|make a note|take a note|note to self|put down that|write down that|add a note|make a remark|add a remark|write down|jot down|put a note|put a note on|flag|put down|note that|for the record|comment|take note|mark down|make a note that',
  has: 'has|got|with|have|had|is got',
  goes: 'goes|goes on|goes with|goes to|belongs to|is for|that goes with|belongs|was for|were for',
  // Questions.
  ask: 'how|what|which|who|where|whose|tell me|show me|give me|list|read me|read back|read me back|anything|anything that|any|do you|did you|did i|did we|does that|does it|are you|are there|are any|is there|is any|have i|have we|am i|are we|can you tell me|could you tell me|do they|does he|does she|should i|do i|tell us|tell|read us|give us|show us|show|let us have|remind me|i wonder|wonder|was it|were they|was there|is one|whit|wot|wat|whats',
  listing:
    'list|read back|read out|show me|tell me|give me|read me|could you tell me|can you tell me|repeat everything|say what|read us|show us|remind me|repeat all|go through|run through|read off',
  howMany: 'how many|number of|count|tally|how many are|n trees|n stems',
  howMuch: 'how much|how big|how large|how wide',
  basalArea: 'basal area|ba|g total|basal|g per ha|g per hectare|b a|gross basal area',
  perAcre:
    'per acre|an acre|to the acre|ac|acre|per ac|the acre|per hectare|a hectare|ha|hectare|to the hectare|per ha|the hectare',
  density:
    'stocking|density|tpa|tph|stems per acre|trees per acre|stems per hectare|trees per hectare|stems an acre|stems a hectare|trees an acre|trees a hectare|trees to the acre|stems to the acre|stems ha|trees ha|stems ac|trees ac|stems to the hectare|trees to the hectare|n per ha|n per hectare|n per acre|n per ac|stems per ha|trees per ha|stems per ac|trees per ac|sph|stem density|stem count per hectare|t p a|t p h',
  volume:
    'volume|vol|board feet|board foot|board ft|bf|bdft|mbf|timber|scale|wood|sawtimber|v per ha|vol per ha|v per hectare|board footage',
  cubic:
    'cubic|cubic feet|cubic metres|cubic volume|growing stock|m three|cubic meters|cunits|cubic metres per hectare|cubic metre|cubic meter|cubic foot|m three per hectare',
  cords: 'cords|cord|cordwood',
  biomass: 'biomass|tons|tonnes|dry weight|weight',
  carbon: 'carbon',
  mean: 'mean|average|avg|on average|averages|ave|typical',
  quadratic: 'qmd|quadratic|quadratic mean',
  lorey: 'lorey|loreys|lorey s',
  topHeight: 'top height|dominant height',
  tallest: 'tallest|highest|tallest one|tallest tree|highest one|the highest|tallest of the lot',
  thickest:
    'chunkiest|beefiest|heftiest|granddaddy|thickest|biggest|fattest|largest|widest|stoutest|biggest one|biggest tree|largest tree|fattest one|thickest one',
  shortest: 'shortest|shortest one|shortest tree|lowest tree|least tall',
  thinnest:
    'thinnest|smallest|skinniest|slimmest|narrowest|thinnest one|smallest one|skinniest one|thinnest tree|smallest tree|skinniest tree',
  spread:
    'spread|cv|coefficient of variation|variation|variability|vary|varies|std dev|standard deviation|stdev|s d|sd|deviation|how different|how much do|how uneven|how even|between plots|between samples|between stops|between points|from plot to plot',
  totals:
    'all together|in total|up to this point|by now|totals|total|summary|sum up|running total|so far|up to now|tot up|how are we doing|how am i doing|add up|where are we|where do we stand|sum up the day|all told|altogether|in all',
  /** What sums are so far. */
  comesTo:
    'come to|comes to|coming to|came to|come out to|comes out to|come out at|comes out at|coming out to|coming out at|add up to|adds up to|adding up to|work out to|works out to|work out at|works out at|working out at|working out to|amount to|amounts to|average out to|averages out to|averaging|put us|puts us|leave us|leaves us|running now|looking like|stand at|standing at|running at|run at|sitting at|shaking out at|shaking out to',
  week: 'all week|this week|the week|this whole week|the whole week|past week|the past week|last seven days|in a week|so far this week|of the week',
  everywhere:
    'anywhere|ever|of all time|in the whole book|the whole book|everything we have ever done|in the book|in all stands|in any stand|over all stands',
  worth: 'worth|value|bring|money|dollars',
  speciesAsked: 'species|kinds|kind|sorts|sort|spp',
  error:
    'error|err|sampling error|samp err|standard error|confidence limits|confidence interval|samp error|precision|margin|margins|uncertainty of the total',
  need: 'more plots|more stops|more points|plots left|stops left|points left|plots needed|how many more|plots to go|enough plots|cruised enough|still need|still owe|enough|plots still|to go|do i need|do we need|more to go|till|until',
  sure: 'how sure|how far off|sure|certain|accurate|accuracy|plus or minus|give or take|confident|how good|trust|reliable|uncertain|tolerance|how far out could|how far out might|how wrong could|how wrong|how exact|how close is|how good is|how precise|precise|how reliable|exact|uncertainty|how uncertain',
  why: 'why|how come|counting my|count my|including|included|counting|is that right|can that be right|cannot be right|explain|how did you get|working|work it out|how was it worked|too tall|too short|too high|too low|seem right|sound right|can not be right|that can not be right|is not right|does not seem right|does not look right|does not sound right|seems too|looks too|too big|too thick|too thin|too small|too much|too little|too far|own height|is that even possible|possible|where did that come from|where does that come from',
  doubts:
    'doubt|doubts|doubted|doubtful|suspicious|suspect|distrust|do not believe|do not you believe|do you not believe|do you not trust|do you doubt|do not trust|do not you trust|not trust|what is wrong with|questioned|believe|odd|wrong|measure again|look at again|worst|check again|flagged|questionable|problem|problems|off looking|re measure|remeasure|recheck|least sure|least certain|not happy with|were not happy with|unhappy with|did not like|do not like|not so sure of|were not sure of|not sure of|bothered you|bothers you|worried about|looks off|looked off|looked odd|seemed off|looks funny|looked funny|looks strange|looked strange|shaky|fishy|look wrong|looks wrong|dubious|iffy|do over|double check',
  compare:
    'vs|versus|difference|compare|compared|apart|agree|agrees|differ|differs|between the two|between them|of the two|of those two|of these two|those two|these two|the two of them|both readings|both heights|both trees|match up|side by side|between',
  lacking:
    'missing|lack|lacks|lacking|without|still need|still needs|still want|still wants|not measured|yet to do|still to do|have no|has no|with no|unmeasured|left',
  over: 'over|above|more than|greater than|at least|exceeding|past|beyond|bigger than|thicker than|larger than|wider than|fatter than|taller than|higher than',
  under: 'under|below|less than|smaller than|thinner than|shorter than|narrower than|at most',
  ordered:
    'shortest first|tallest first|thinnest first|thickest first|biggest first|smallest first|by height|by diameter|in order of height|in order of diameter',
  slender: 'ratio|slenderness|height to diameter|height over diameter|height diameter|h to d',
  limit:
    'limit|limiting distance|how far off can|how far off may|how far back can|how far from centre can|how far from center can|how far away could|how far out could|maximum distance|max distance|furthest|farthest|how far can|how far could|how far may|how far out can|how far out may|how far away can|how far is in|how far would',
  counted:
    'counted|included|counting the|do you count|does it count|do they count|are they in|is he in|in the totals|left out|counted in|count in|counted with',
  ready:
    'is this thing on|is this on|are you there|can you hear me|do you hear me|you there|are you on|are you listening|testing|is it working|are you working|is it on|anyone there|anybody there|still there|are you awake|you awake|is this working|does this work|are you with me',
  size: 'how big|how large|size|acreage|in hectares|in acres|in square metres|in square feet',
  settingsAsked: 'settings|set to|units|log rule',
  lastNotes:
    'just say|last say|just log|just put down|just keep|last things|last two things|last thing|just said|last entry|last few|just told you|get that|catch that|did you catch|note that down|got that down|what was that',
  helpAsked:
    'help|how do i|what can i say|what do i say|what can i ask|how can i|how should i|how am i supposed to|how would i|what do i do|what should i|how does one|how to|what is the way to|any way to',
  by: 'by|break out by|broken down by|split by|for each|in each|each|per|break out|breakdown|on each|in every|on every',
  doyle: 'doyle',
  mill: 'mill|mills|sawmill|saw mill|timber buyer|log buyer|log yard',
  scribner: 'scribner|scrib|scr|scribner decimal c',
  international: 'international|international quarter inch|int quarter|intl',
  allOf:
    'all plots|whole stand|everything|the lot|the stand|the whole lot|all of it|the whole block|overall|all species|all points|all pts|all stops|all spp|all of them|for the lot|entire stand|all in|across the board',
  today: 'for the day so far|the whole day|today|this morning|this afternoon|so far today',
  taller: 'taller|higher|bigger|thicker|difference|compare|compared|than|apart|agree',
  /** Passed over: it says how something is told, not what. */
  aside:
    'back on the flat|on the flat|on the flat again|on its feet|still on its feet|still upright|in the end|by the way|at all|to be honest|of course|you know|mind you|come to think of it|to tell the truth|just so you know|at the moment|right now|as it happens|as usual|if you please|if you would|if you do not mind|when you can|for what it is worth|i suppose|i guess|i should think|i dare say|all in all|as i said|like i said|let us see|let me see|do you reckon|do you think|you think|you reckon|would you|could you|can you|will you|as i was saying|as we were saying|as it were|so to speak|for the day',
  /** Talk around the notes: passed over where a clause is nothing else. */
  talk: 'new day|another day|first day|day one|day two|fresh day|a new day|that is the last|that is the last one|that is the last of them|that is all of them|that is the lot|bear with me|carry on|good stuff|good work|well done|nice one|nice work|hang on|hang on a second|hang on a minute|hold on a second|just a second|just a minute|one second|one moment|give me a second|give me a minute|here goes|here we go|there we go|away we go|off we go|on we go|moving along|let us go|let us go on|where was i|that is better|there we are|here we are|there you go|got it|so far so good|no hurry|no rush|thank you|thank you very much|thanks a lot|many thanks|much obliged|no problem|no worries|fair enough|sounds good|looks good|all good|good day|good to go|ready when you are|nice to meet you|how are you|how are you doing|what a day|lovely day',
  // Control.
  quiet: 'quiet|be quiet|hush|silence|mute|stop talking|hush now|shush',
  speak: 'speak|you can talk|talk again|talk to me|unmute|speak up|start talking',
  stop: 'do not listen|do not listen any more|do not listen anymore|stop hearing|break from listening|take a break from listening|close your ears|cover your ears|turn your mic off|turn off your mic|turn the mic off|turn off the mic|turn your ears off|mic off|mike off|stop listening|goodbye|good night|quitting time|quit|knock off|that will do|that will do me|all done for the day|done for the day|end of day|call it a day|that is all for today|bye|finished for the day|finish for the day|quittin time|quit for the day|finish for today|pack it in|that is it for today|done for today|home time|put it to bed|put her to bed|knock it off|that is us done|that is us for today|that is us finished|we are through|i am through|we are done here|off home|heading home|heading back|head back|head home|going home|heading in|done and dusted|that is me done|that is me|stopping for today|stop for today|stop for the day|enough for today|enough for one day|that is enough for today|finishing up|signing off|sign off|see you tomorrow|see you|calling it a day|call it quits|calling it quits|down tools|back to the truck|that is the day|done for now|finished for now|clocking off|all done here|over and out|that is me for the day|that is us for the day|that is me for today|good night everyone|good night everybody',
  slower: 'slower|more slowly|say that slower|slow down|slow it down|not so fast|too fast',
} as const satisfies Record<string, string>;

/** What a word may speak of. */
export type Concept = keyof typeof table;

/** Phrases of each concept. */
export const conceptPhrases: readonly (readonly [concept: Concept, phrases: readonly string[]])[] = (
  Object.keys(table) as Concept[]
).map((concept) => [concept, table[concept].split('|')]);

/** Words that carry nothing by themselves: articles, pronouns, auxiliaries, adverbs of manner and time, politeness. */
export const passedOver: ReadonlySet<string> = new Set(
  (
    'the a an and is are was were be been being am it its i my me mine we our us you your he his him she her they their them this that these those there here ' +
    'of at to on from for with by as in into then so now just too also but or if when while because since cause ' +
    'got get gets getting have has had having do did does done make made take took let lets will would shall can could may might must ' +
    'say says said call calls give gives gave see saw look looks put puts set figure use using used ' +
    'please well okay ok right yes yeah yep yup hm hmm mm oh uh um umm er erm ah hey hi hello howdy lol thanks thank alright anyway basically really pretty quite very rather fairly ' +
    'about around roughly approximately nearly almost maybe probably perhaps only still already even exactly precisely barely some somewhat bit little big small large huge old young nice good great fine tall fat skinny slim thin reckons thinks tells wee lovely mighty single ' +
    "i'd i'm i've again now soon later y'all reckon think believe mean know afraid suppose method come comes came doing go going goes went runs run works work comes seems seem looks keep keeps stands sits belong entirely begin clear against time line anyhow otherwise somehow thereabouts even ones " +
    'one way thing such own whole other standing stood over up down out off back along above ' +
    'called named kept ground want wants wanted mind nvm whoa aye ta cheers gonna crikey heck goodness sake twice keep return only o wi whereabouts righto right-o yessir wrote written shows says showed saying whatsoever ' +
    'should only whereabouts hereabouts morning afternoon evening gosh dear friend folks mate sir btw fyi pls cos coz turns nearer'
  ).split(' '),
);

/** The first word of a name of two, in short: "bl cherry", "r maple". */
export const shortColours: ReadonlyMap<string, string> = new Map([
  ...['bl', 'blk'].map((short) => [short, 'black'] as const),
  ...['wh', 'wht'].map((short) => [short, 'white'] as const),
  ...['y', 'yel'].map((short) => [short, 'yellow'] as const),
  ['r', 'red'],
]);

/** Marks as people say them, beyond those of the description. */
export const typedMarks: readonly (readonly [mark: string, said: string])[] = [
  ['forked', 'forks|forking|splits in two|split in two|forks out'],
  [
    'broken top',
    'snapped|snapped off|snapped out|wind snapped|broke off|top out of it|top out|top missing|top snapped|top snapped out|lost its top|lost the top|no top',
  ],
  ['leaning', 'leans'],
  ['veteran', 'wolf'],
];

/** Species in two or three letters, before a number. */
export const shortSpecies: ReadonlyMap<string, string> = new Map(
  (
    'ro red oak|wo white oak|bo black oak|so scarlet oak|co chestnut oak|yp yellow poplar|rm red maple|sm sugar maple|' +
    'yb yellow birch|pb paper birch|bb black birch|bc black cherry|ch cherry|wa white ash|ab american beech|be beech|eh eastern hemlock|' +
    'wp white pine|rp red pine|vp virginia pine|pp ponderosa pine|lp loblolly pine|sp scots pine|ns norway spruce|rs red spruce|' +
    'ws white spruce|bs black spruce|bf balsam fir|df douglas fir|gf grand fir|nf noble fir|wh western hemlock|rc western redcedar|wrc western redcedar|' +
    'ss sitka spruce|bw basswood|bg black gum|sg sweetgum|sh shagbark hickory|ph pignut hickory|mh mockernut hickory|bh bitternut hickory|sy sycamore|' +
    'bl black locust|ra red alder|wf white fir|ic incense cedar|qa quaking aspen|blm bigleaf maple|hick hickory|bld boxelder|bo black oak|nro northern red oak'
  )
    .split('|')
    .map((row) => {
      const [code = '', ...name] = row.split(' ');
      return [code, name.join(' ')] as const;
    }),
);
