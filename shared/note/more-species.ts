/**
 * More species of North America and Europe, and genera, as plain rows for `species.ts`.
 *
 * Provenance: FIA numeric codes, PLANTS symbols, biomass groups (Jenkins et al. 2003) and usual heights (rounded from Burns &
 * Honkala 1990 and common handbooks) are all from memory and say so (`M`). A symbol that was not certain is null. Trees of
 * Europe and of other lands have numbers of our own from 90001 on, since the list of FIA has most of them not. Nicknames:
 * common practice, no source.
 */

/** Short for a biomass group, in the order of `jenkinsGroups`. */
export type GroupKey = 'A' | 'SM' | 'MH' | 'HM' | 'CL' | 'DF' | 'TF' | 'P' | 'S' | 'J';

/** Code, PLANTS symbol, common name, scientific name, nicknames, group, usual heights in feet from..to. */
export type MoreRow = readonly [
  code: number,
  symbol: string | null,
  commonName: string,
  scientificName: string,
  nicknames: string,
  group: GroupKey,
  low: number,
  high: number,
];

// biome-ignore format: a table, one row a line
export const moreSpecies: readonly MoreRow[] = [
  [11, 'ABAM', 'Pacific silver fir', 'Abies amabilis', '', 'TF', 100, 180],
  [16, 'ABFR', 'Fraser fir', 'Abies fraseri', 'fraser', 'TF', 40, 60],
  [20, 'ABMA', 'California red fir', 'Abies magnifica', '', 'TF', 100, 150],
  [22, 'ABPR', 'noble fir', 'Abies procera', 'noble', 'TF', 120, 180],
  [41, 'CHLA', 'Port-Orford-cedar', 'Chamaecyparis lawsoniana', 'lawson cypress', 'CL', 120, 180],
  [43, 'CHTH2', 'Atlantic white-cedar', 'Chamaecyparis thyoides', 'white cedar', 'CL', 50, 80],
  [64, 'JUOC', 'western juniper', 'Juniperus occidentalis', '', 'J', 30, 50],
  [66, 'JUSC2', 'Rocky Mountain juniper', 'Juniperus scopulorum', '', 'J', 30, 50],
  [96, 'PIPU', 'blue spruce', 'Picea pungens', '', 'S', 70, 100],
  [101, 'PIAL', 'whitebark pine', 'Pinus albicaulis', 'whitebark', 'P', 40, 70],
  [113, 'PIFL2', 'limber pine', 'Pinus flexilis', 'limber', 'P', 30, 60],
  [116, 'PIJE', 'Jeffrey pine', 'Pinus jeffreyi', 'jeffrey', 'P', 90, 150],
  [123, 'PIPU5', 'Table Mountain pine', 'Pinus pungens', '', 'P', 40, 60],
  [126, 'PIRI', 'pitch pine', 'Pinus rigida', 'pitch', 'P', 50, 80],
  [127, 'PISA2', 'gray pine', 'Pinus sabiniana', 'foothill pine', 'P', 40, 80],
  [136, 'PINI', 'Austrian pine', 'Pinus nigra', 'european black pine; corsican pine', 'P', 60, 100],
  [231, 'TABR2', 'Pacific yew', 'Taxus brevifolia', 'yew', 'CL', 30, 50],
  [262, 'TSCA2', 'Carolina hemlock', 'Tsuga caroliniana', '', 'TF', 40, 70],
  [264, 'TSME', 'mountain hemlock', 'Tsuga mertensiana', '', 'TF', 75, 130],
  [313, 'ACNE2', 'boxelder', 'Acer negundo', 'ash leaved maple', 'SM', 50, 75],
  [314, 'ACNI5', 'black maple', 'Acer nigrum', '', 'HM', 70, 100],
  [315, 'ACPE', 'striped maple', 'Acer pensylvanicum', 'moosewood', 'SM', 30, 40],
  [320, 'ACPL', 'Norway maple', 'Acer platanoides', '', 'HM', 50, 80],
  [331, 'AEGL', 'Ohio buckeye', 'Aesculus glabra', 'buckeye', 'MH', 40, 70],
  [332, 'AEFL', 'yellow buckeye', 'Aesculus flava', 'buckeye', 'MH', 60, 90],
  [341, 'AIAL', 'tree of heaven', 'Ailanthus altissima', 'ailanthus', 'MH', 50, 80],
  [361, 'ARME', 'Pacific madrone', 'Arbutus menziesii', 'madrone', 'MH', 50, 100],
  [372, 'BELE', 'sweet birch', 'Betula lenta', 'black birch; cherry birch', 'SM', 50, 70],
  [373, 'BENI', 'river birch', 'Betula nigra', '', 'SM', 50, 80],
  [379, 'BEPO', 'gray birch', 'Betula populifolia', 'grey birch', 'SM', 30, 40],
  [391, 'CACA18', 'American hornbeam', 'Carpinus caroliniana', 'hornbeam; musclewood; blue beech; ironwood', 'MH', 30, 40],
  [402, 'CACO15', 'bitternut hickory', 'Carya cordiformis', 'bitternut', 'HM', 60, 90],
  [404, 'CAIL2', 'pecan', 'Carya illinoinensis', '', 'HM', 90, 130],
  [405, 'CALA21', 'shellbark hickory', 'Carya laciniosa', 'shellbark', 'HM', 70, 100],
  [409, null, 'mockernut hickory', 'Carya tomentosa', 'mockernut', 'HM', 60, 90],
  [421, 'CADE12', 'American chestnut', 'Castanea dentata', 'chestnut', 'MH', 60, 100],
  [452, 'CASP8', 'northern catalpa', 'Catalpa speciosa', 'catalpa', 'MH', 50, 90],
  [461, 'CELA', 'sugarberry', 'Celtis laevigata', '', 'MH', 60, 90],
  [462, 'CEOC', 'hackberry', 'Celtis occidentalis', '', 'MH', 50, 80],
  [471, 'CECA4', 'eastern redbud', 'Cercis canadensis', 'redbud', 'MH', 30, 40],
  [491, 'COFL2', 'flowering dogwood', 'Cornus florida', 'dogwood', 'MH', 30, 40],
  [521, 'DIVI5', 'common persimmon', 'Diospyros virginiana', 'persimmon', 'MH', 40, 70],
  [542, 'FRLA', 'Oregon ash', 'Fraxinus latifolia', '', 'MH', 60, 80],
  [544, 'FRPE', 'green ash', 'Fraxinus pennsylvanica', '', 'MH', 50, 70],
  [546, 'FRQU', 'blue ash', 'Fraxinus quadrangulata', '', 'MH', 50, 70],
  [552, 'GLTR', 'honeylocust', 'Gleditsia triacanthos', 'honey locust', 'MH', 60, 90],
  [571, 'GYDI', 'Kentucky coffeetree', 'Gymnocladus dioicus', 'coffeetree', 'MH', 60, 90],
  [591, 'ILOP', 'American holly', 'Ilex opaca', 'holly', 'MH', 40, 60],
  [601, 'JUCI', 'butternut', 'Juglans cinerea', '', 'MH', 40, 70],
  [631, null, 'tanoak', 'Notholithocarpus densiflorus', 'tan oak', 'MH', 50, 90],
  [641, 'MAPO', 'Osage-orange', 'Maclura pomifera', 'hedge apple', 'MH', 30, 50],
  [651, 'MAAC', 'cucumbertree', 'Magnolia acuminata', 'cucumber tree; cucumber', 'MH', 60, 90],
  [652, 'MAGR4', 'southern magnolia', 'Magnolia grandiflora', 'magnolia', 'MH', 60, 90],
  [653, 'MAVI2', 'sweetbay', 'Magnolia virginiana', '', 'MH', 40, 70],
  [681, 'MOAL', 'white mulberry', 'Morus alba', '', 'MH', 30, 50],
  [682, 'MORU2', 'red mulberry', 'Morus rubra', '', 'MH', 40, 60],
  [691, 'NYAQ2', 'water tupelo', 'Nyssa aquatica', '', 'MH', 70, 100],
  [701, 'OSVI', 'eastern hophornbeam', 'Ostrya virginiana', 'hophornbeam; hop hornbeam; ironwood', 'MH', 30, 50],
  [711, 'OXAR', 'sourwood', 'Oxydendrum arboreum', '', 'MH', 40, 60],
  [741, 'POBA2', 'balsam poplar', 'Populus balsamifera', 'balm of gilead', 'A', 60, 90],
  [747, null, 'black cottonwood', 'Populus trichocarpa', '', 'A', 100, 160],
  [761, 'PRPE2', 'pin cherry', 'Prunus pensylvanica', 'fire cherry', 'MH', 30, 40],
  [801, 'QUAG', 'coast live oak', 'Quercus agrifolia', '', 'HM', 40, 70],
  [804, 'QUBI', 'swamp white oak', 'Quercus bicolor', '', 'HM', 60, 80],
  [805, 'QUCH2', 'canyon live oak', 'Quercus chrysolepis', '', 'HM', 40, 80],
  [809, 'QUEL', 'northern pin oak', 'Quercus ellipsoidalis', "hill's oak", 'HM', 50, 70],
  [812, 'QUFA', 'southern red oak', 'Quercus falcata', 'spanish oak', 'HM', 70, 90],
  [813, 'QUPA5', 'cherrybark oak', 'Quercus pagoda', 'cherrybark', 'HM', 90, 120],
  [817, 'QUIM', 'shingle oak', 'Quercus imbricaria', '', 'HM', 50, 70],
  [818, 'QUKE', 'California black oak', 'Quercus kelloggii', '', 'HM', 60, 80],
  [822, 'QULY', 'overcup oak', 'Quercus lyrata', 'overcup', 'HM', 60, 80],
  [823, 'QUMA2', 'bur oak', 'Quercus macrocarpa', 'burr oak', 'HM', 70, 90],
  [824, 'QUMA3', 'blackjack oak', 'Quercus marilandica', 'blackjack', 'HM', 30, 50],
  [825, 'QUMI', 'swamp chestnut oak', 'Quercus michauxii', 'basket oak', 'HM', 70, 100],
  [826, 'QUMU', 'chinkapin oak', 'Quercus muehlenbergii', 'chinkapin; yellow oak', 'HM', 60, 80],
  [827, 'QUNI', 'water oak', 'Quercus nigra', '', 'HM', 60, 90],
  [830, 'QUPA2', 'pin oak', 'Quercus palustris', '', 'HM', 70, 90],
  [831, 'QUPH', 'willow oak', 'Quercus phellos', '', 'HM', 80, 110],
  [834, 'QUSH', 'Shumard oak', 'Quercus shumardii', 'shumard', 'HM', 80, 110],
  [838, 'QUVI', 'southern live oak', 'Quercus virginiana', '', 'HM', 40, 60],
  [922, 'SANI', 'black willow', 'Salix nigra', 'willow', 'A', 40, 80],
  [931, 'SAAL5', 'sassafras', 'Sassafras albidum', '', 'MH', 40, 60],
  [935, 'SOAM3', 'American mountain-ash', 'Sorbus americana', 'mountain ash', 'MH', 30, 40],
  [971, 'ULAL', 'winged elm', 'Ulmus alata', '', 'MH', 40, 60],
  [974, 'ULPU', 'Siberian elm', 'Ulmus pumila', '', 'MH', 50, 70],
  [975, 'ULRU', 'slippery elm', 'Ulmus rubra', 'red elm', 'MH', 60, 80],
  [977, 'ULTH', 'rock elm', 'Ulmus thomasii', 'cork elm', 'MH', 60, 90],
  [981, 'UMCA', 'California-laurel', 'Umbellularia californica', 'california laurel; bay laurel', 'MH', 40, 80],
];

/** Numbers from here on are our own, not codes of FIA. */
export const ownNumbersFrom = 90_000;

/** Trees of Europe, by their full names; what short ones mean there is in `species-regions.ts`. */
// biome-ignore format: a table, one row a line
export const europeanSpecies: readonly MoreRow[] = [
  [90001, 'ABAL3', 'European silver fir', 'Abies alba', 'silver fir', 'TF', 100, 160],
  [90002, 'LADE2', 'European larch', 'Larix decidua', '', 'CL', 80, 130],
  [90003, null, 'European yew', 'Taxus baccata', 'english yew; common yew', 'CL', 30, 60],
  [90004, null, 'maritime pine', 'Pinus pinaster', '', 'P', 60, 100],
  [90005, null, 'field maple', 'Acer campestre', 'hedge maple', 'HM', 30, 60],
  [90006, 'ACPS', 'sycamore maple', 'Acer pseudoplatanus', 'european sycamore', 'HM', 70, 110],
  [90007, 'AEHI', 'horse chestnut', 'Aesculus hippocastanum', 'horsechestnut', 'MH', 60, 100],
  [90008, 'ALGL2', 'black alder', 'Alnus glutinosa', 'common alder; european alder', 'A', 50, 80],
  [90009, null, 'grey alder', 'Alnus incana', 'gray alder', 'A', 30, 60],
  [90010, 'BEPE3', 'European white birch', 'Betula pendula', 'european birch; silver birch', 'SM', 50, 80],
  [90011, null, 'downy birch', 'Betula pubescens', 'moor birch', 'SM', 40, 70],
  [90012, null, 'European hornbeam', 'Carpinus betulus', 'common hornbeam', 'MH', 50, 80],
  [90013, null, 'sweet chestnut', 'Castanea sativa', 'spanish chestnut', 'MH', 60, 100],
  [90014, 'FASY', 'European beech', 'Fagus sylvatica', 'common beech', 'HM', 80, 130],
  [90015, null, 'European ash', 'Fraxinus excelsior', 'common ash', 'MH', 70, 110],
  [90016, null, 'European walnut', 'Juglans regia', 'english walnut; common walnut', 'MH', 50, 80],
  [90017, null, 'European aspen', 'Populus tremula', 'common aspen', 'A', 50, 80],
  [90018, null, 'black poplar', 'Populus nigra', '', 'A', 70, 110],
  [90019, 'PRAV', 'wild cherry', 'Prunus avium', 'sweet cherry; gean', 'MH', 50, 80],
  [90020, 'QURO2', 'English oak', 'Quercus robur', 'pedunculate oak', 'HM', 70, 110],
  [90021, null, 'sessile oak', 'Quercus petraea', 'durmast oak', 'HM', 70, 110],
  [90022, null, 'European turkey oak', 'Quercus cerris', 'turkey oak', 'HM', 70, 110],
  [90023, null, 'cork oak', 'Quercus suber', '', 'HM', 30, 60],
  [90024, 'SOAU', 'rowan tree', 'Sorbus aucuparia', 'european mountain ash', 'MH', 30, 50],
  [90025, null, 'wild service tree', 'Sorbus torminalis', 'wild service', 'MH', 40, 70],
  [90026, 'TICO2', 'small-leaved lime', 'Tilia cordata', 'small leaved linden', 'MH', 60, 100],
  [90027, null, 'large-leaved lime', 'Tilia platyphyllos', 'large leaved linden', 'MH', 70, 110],
  [90028, null, 'wych elm', 'Ulmus glabra', 'scots elm', 'MH', 70, 110],
  [90029, null, 'white willow', 'Salix alba', '', 'A', 50, 80],
  [90030, null, 'goat willow', 'Salix caprea', 'sallow', 'A', 30, 40],
];

/** Genera and groups: FIA code, name as spoken, Latin name, group, usual heights in feet. */
// biome-ignore format: a table, one row a line
export const genera: readonly (readonly [code: number, name: string, latin: string, group: GroupKey, low: number, high: number])[] = [
  [10, 'fir', 'Abies spp.', 'TF', 40, 180],
  [60, 'juniper', 'Juniperus spp.', 'J', 30, 50],
  [70, 'larch', 'Larix spp.', 'CL', 50, 150],
  [90, 'spruce', 'Picea spp.', 'S', 50, 150],
  [100, 'pine', 'Pinus spp.', 'P', 50, 120],
  [260, 'hemlock', 'Tsuga spp.', 'TF', 60, 180],
  [310, 'maple', 'Acer spp.', 'SM', 50, 100],
  [330, 'buckeye', 'Aesculus spp.', 'MH', 40, 90],
  [350, 'alder', 'Alnus spp.', 'A', 40, 100],
  [370, 'birch', 'Betula spp.', 'SM', 40, 80],
  [400, 'hickory', 'Carya spp.', 'HM', 60, 100],
  [540, 'ash', 'Fraxinus spp.', 'MH', 50, 90],
  [680, 'mulberry', 'Morus spp.', 'MH', 30, 60],
  [690, 'tupelo', 'Nyssa spp.', 'MH', 60, 100],
  [740, 'poplar', 'Populus spp.', 'A', 50, 130],
  [800, 'oak', 'Quercus spp.', 'HM', 50, 100],
  [920, 'willow', 'Salix spp.', 'A', 40, 80],
  [970, 'elm', 'Ulmus spp.', 'MH', 50, 90],
];

/** What is known only as wood of a kind, with all that it is called. */
// biome-ignore format: a table, one row a line
export const kindsOfWood: readonly MoreRow[] = [
  [299, null, 'unknown softwood', 'conifer', 'softwood; other softwood; unknown conifer; other conifer; conifer', 'P', 40, 120],
  [998, null, 'unknown hardwood', 'broadleaf', 'hardwood; other hardwood; unknown broadleaf; broadleaf', 'MH', 40, 100],
  [999, null, 'unknown species', 'tree', 'unknown tree; unknown; other species', 'MH', 40, 100],
];
