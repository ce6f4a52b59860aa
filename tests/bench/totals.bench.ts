/**
 * Totals at 1 000 to 1 000 000 trees: time to put, time of each question (right after a change), memory; beside the same
 * totals by SQL on an indexed table in memory (better-sqlite3), measured in the same run. Values of both are compared.
 */
import Database from 'better-sqlite3';
import { Totals } from '../../shared/totals/totals.ts';
import type { PlotRecord, TreeRecord } from '../../shared/totals/types.ts';

export const name = 'totals';

/** Marsaglia's xorshift32: the same wood on every run. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}

const speciesOf = [316, 318, 833, 802, 531, 129, 261, 746, 762, 541];
const plotAcres = 0.1;

function wood(count: number, perPlot: number): { trees: TreeRecord[]; plots: PlotRecord[] } {
  const next = random(7);
  const trees: TreeRecord[] = [];
  const plots: PlotRecord[] = [];
  for (let i = 0; i < count; i++) {
    if (i % perPlot === 0) {
      const number = plots.length + 1;
      const size = { by: 'area', value: plotAcres, unit: 'acre' } as const;
      plots.push({
        id: `plot-${number}`,
        number,
        stand: 'wood',
        stratum: null,
        size,
        slopePct: null,
        closed: true,
        empty: false,
        time: number * 9e5,
        person: null,
      });
    }
    const diameterIn = Math.round((5 + 22 * next() ** 2) * 10) / 10;
    const species = speciesOf[Math.floor(next() ** 2 * speciesOf.length)]!;
    trees.push({
      id: `0190f3c2-7a1b-7000-8000-${i.toString(16).padStart(12, '0')}`,
      number: i + 1,
      plot: plots[plots.length - 1]!.id,
      stand: 'wood',
      species,
      diameterIn,
      status: next() < 0.06 ? 'dead' : 'live',
      marks: [],
      count: 1,
      logs: diameterIn < 10 ? 0 : Math.round(1 + 6 * next()) / 2,
      merchFt: null,
      defectPct: 0,
      formClass: null,
      heightFt: next() < 0.2 ? Math.round(25 + 3 * diameterIn + 10 * next()) : null,
      heightSdFt: 3,
      counted: true,
      time: plots.length * 9e5,
      person: null,
    });
  }
  // Through JSON, so that ids are flat strings as a journal gives them.
  return JSON.parse(JSON.stringify({ trees, plots })) as { trees: TreeRecord[]; plots: PlotRecord[] };
}

/** Processor time to look up and set every id in a Map, microseconds a tree. */
function idsOnly(trees: readonly TreeRecord[]): number {
  const from = process.cpuUsage();
  const ids = new Map<string, number>();
  for (const tree of trees) if (ids.get(tree.id) === undefined) ids.set(tree.id, tree.number);
  const used = process.cpuUsage(from);
  return (used.user + used.system) / ids.size;
}

const middle = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1]!;

/** Median milliseconds of `ask`, each time after `change`. */
function timed(times: number, change: (i: number) => void, ask: () => unknown): number {
  const taken: number[] = [];
  for (let i = 0; i < times; i++) {
    change(i);
    const from = performance.now();
    ask();
    taken.push(performance.now() - from);
  }
  return middle(taken);
}

function sqlTable(
  trees: readonly TreeRecord[],
  plots: readonly PlotRecord[],
): { db: Database.Database; ms: number } {
  const db = new Database(':memory:');
  db.exec(`create table plot (id integer primary key, expansion real);
    create table tree (id text primary key, plot integer, species integer, status text, dd real, doyle real, height real)
    without rowid;`);
  const putPlot = db.prepare('insert into plot values (?, ?)');
  const putTree = db.prepare('insert into tree values (?, ?, ?, ?, ?, ?, ?)');
  const from = performance.now();
  db.transaction(() => {
    for (const plot of plots) putPlot.run(plot.number, 1 / plotAcres);
    for (const tree of trees) {
      putTree.run(
        tree.id,
        Number(tree.plot!.slice(5)),
        tree.species,
        tree.status,
        tree.diameterIn! ** 2,
        0,
        tree.heightFt,
      );
    }
  })();
  db.exec(
    'create index by_plot on tree (status, plot, dd); create index by_species on tree (species, status, plot, dd);',
  );
  return { db, ms: performance.now() - from };
}

const sqlBasalArea = (where: string): string => `select avg(y) as value, count(*) as n, sum(y * y) as yy from
  (select plot.expansion * 0.005454153912482 * coalesce(sum(tree.dd), 0) as y
   from plot left join tree on tree.plot = plot.id and ${where} group by plot.id)`;

export async function run(
  print: (name: string, value: number | string, unit: string) => void,
): Promise<void> {
  const round = (value: number): number => Number(value.toPrecision(3));
  for (const count of [1e3, 1e4, 1e5, 1e6]) {
    const { trees, plots } = wood(count, 20);
    globalThis.gc?.();
    const before = process.memoryUsage();
    const totals = new Totals();
    totals.ledger.putStand({ id: 'wood', name: 'Mill Lot', acres: plots.length });
    let version = 0;
    totals.ledger.setCurve(
      (_species, d) => 4.5 + 110 * (1 - Math.exp(-0.06 * d)),
      () => version,
    );
    const cpu = process.cpuUsage();
    const from = performance.now();
    let plotNumber = 0;
    for (let i = 0; i < count; i++) {
      if (i % 20 === 0) totals.ledger.putPlot(plots[plotNumber++]!);
      totals.ledger.putTree(trees[i]!);
    }
    const put = performance.now() - from;
    const used = process.cpuUsage(cpu);
    globalThis.gc?.();
    const after = process.memoryUsage();
    const at = `${count}`;
    print(`${at}.put`, round((put / count) * 1000), 'us a tree');
    print(`${at}.put.cpu`, round((used.user + used.system) / count), 'us of processor time a tree');
    if (count === 1e6) {
      print(
        `${at}.put.idsOnly.cpu`,
        round(idsOnly(trees)),
        'us, a Map of the ids alone: the floor of any book by id',
      );
      const bytes = after.heapUsed + after.arrayBuffers - before.heapUsed - before.arrayBuffers;
      print(`${at}.memory`, round(bytes / count), 'bytes a tree, records not counted');
    }
    let turn = 0;
    const change = (): void => {
      const tree = trees[(turn++ * 7919) % count]!;
      totals.ledger.putTree({ ...tree, diameterIn: tree.diameterIn! + 0.1 });
      totals.ledger.putTree(tree);
    };
    const questions: [string, () => unknown][] = [
      ['trees', () => totals.trees()],
      ['basalArea', () => totals.basalArea()],
      ['basalAreaOfSpecies', () => totals.basalArea({ species: 833 })],
      ['density', () => totals.density({ status: 'all' })],
      ['doyle', () => totals.volume('doyle')],
      ['carbon', () => totals.perAcre('carbon')],
      ['meanHeight', () => totals.meanHeight()],
      ['quadraticDiameter', () => totals.quadraticDiameter()],
      ['lorey', () => totals.loreyHeight()],
      ['cubic', () => totals.total('cubic')],
      ['plotsNeeded', () => totals.plotsNeeded(10)],
      ['tallest', () => totals.foremostTree('tallest')],
      ['stockTable', () => totals.stockTable()],
      ['topHeight', () => totals.topHeight()],
    ];
    const times = count >= 1e6 ? 41 : 101;
    const taken = new Map<string, number>();
    for (const [question, ask] of questions) {
      ask();
      taken.set(question, timed(times, change, ask));
      print(`${at}.${question}`, round(taken.get(question)!), 'ms');
    }
    const refilling = process.cpuUsage();
    version++;
    totals.total('cubic');
    const refilled = process.cpuUsage(refilling);
    print(
      `${at}.cubicAfterCurveChange.cpu`,
      round((refilled.user + refilled.system) / 1000),
      'ms of processor time',
    );
    print(
      `${at}.cubicAfterCurveChange`,
      round(
        timed(
          5,
          () => version++,
          () => totals.total('cubic'),
        ),
      ),
      'ms, all missing heights filled anew',
    );
    const { db, ms } = sqlTable(trees, plots);
    print(`${at}.sql.put`, round((ms / count) * 1000), 'us a tree, four columns and two indexes');
    for (const [question, where] of [
      ['basalArea', "status = 'live'"],
      ['basalAreaOfSpecies', "species = 833 and status = 'live'"],
    ] as const) {
      const query = db.prepare(sqlBasalArea(where));
      const sql = timed(
        count >= 1e6 ? 3 : 11,
        () => {},
        () => query.get(),
      );
      const found = query.get() as { value: number };
      const ours = totals.basalArea(question === 'basalArea' ? {} : { species: 833 }).value!;
      if (Math.abs(found.value / ours - 1) > 1e-6)
        throw new Error(`${question}: SQL ${found.value}, totals ${ours}`);
      print(`${at}.sql.${question}`, round(sql), 'ms');
      print(`${at}.${question}.ratio`, round(sql / taken.get(question)!), 'times faster than SQL');
    }
    db.close();
  }
  const { trees } = wood(1e6, 1e6);
  const tally = new Totals();
  tally.ledger.putStand({ id: 'wood', name: 'Mill Lot', acres: 9000 });
  tally.ledger.putPlot({
    id: 'plot-1',
    number: 1,
    stand: 'wood',
    stratum: null,
    size: { by: 'tally' },
    slopePct: null,
    closed: true,
    empty: false,
    time: 0,
    person: null,
  });
  for (const tree of trees) tally.ledger.putTree(tree);
  print(
    'tally1000000.basalArea',
    round(
      timed(
        41,
        () => {},
        () => tally.basalArea(),
      ),
    ),
    'ms, one plot',
  );
  const from = performance.now();
  for (let i = 0; i < 10000; i++) {
    const tree = trees[(i * 7919) % 1e6]!;
    tally.ledger.removeTree(tree.id);
    tally.ledger.putTree(tree);
  }
  print('tally1000000.removeAndPut', round((performance.now() - from) / 10), 'us');
}
