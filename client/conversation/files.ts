/** The makers and the reader of the files to take away, in one file that is fetched when the first of them is wanted. */
export { fromJson, toJson } from '../../shared/report/files/entries.ts';
export { toGeoJson } from '../../shared/report/files/geojson.ts';
export { landFeatures } from '../../shared/report/files/land-files.ts';
export { toCsv } from '../../shared/report/files/tables.ts';
export { woodOf } from '../../shared/report/files/wood.ts';
export { reportPage } from '../../shared/report/page/page.ts';
export { reportOf } from '../../shared/report/page/report.ts';
