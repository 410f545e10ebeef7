// The result as the page carries it: parts of the audit by region and window, and their rows.

export const readJson = (id) => JSON.parse(document.getElementById(id).textContent);

export const result = readJson("result-data");
export const land = topojson.feature(readJson("land-data"), "land");
export const { audit, manifest, cells } = result;

// What is the same in every row, or as in the first part, is told once in the page; here it becomes columns again.
audit.parts.forEach(({ columns }, at) => {
  const { rows = columns.tws_kn.length } = columns;
  delete columns.rows;
  for (const [name, column] of Object.entries(columns)) {
    if (!Array.isArray(column)) columns[name] = "all" in column ? Array(rows).fill(column.all) : audit.parts[0].columns[name];
  }
});
export const stages = audit.stages;
export const tacksSailed = audit.words.tack;
export const [UPWIND_DEG, REACHING_DEG] = result.points_of_sailing_deg;

export const ascending = (values) => [...new Set(values)].sort(d3.ascending);
export const windowOf = (part) => `${part.start}/${part.end}`;

// Windows in order of time: those with polars, and those that the index or nobody serves but the sea has.
export const windows = ascending(audit.parts.map(windowOf));

const places = new Map(audit.parts.map((part, index) => [JSON.stringify([part.region, windowOf(part)]), index]));
export const partIndex = (region, window) => places.get(JSON.stringify([region, window])) ?? -1;
export const partsOf = (region) => audit.parts.map((part, index) => ({ part, index })).filter(({ part }) => part.region === region);

const seas = new Map((manifest.seas ?? []).map((sea) => [JSON.stringify([sea.region, `${sea.window_start}/${sea.window_end}`]), sea]));
// Height and winds of a region and window, where the manifest tells them.
export const seaOf = (region, window) => seas.get(JSON.stringify([region, window])) ?? null;

const cellsOfParts = new Map((cells ? cells.parts : []).map((part) => [part.part, part]));
export const cellsOf = (index) => cellsOfParts.get(index) ?? null;

// One row of the audit as an object.
function row(part, index) {
  const values = Object.fromEntries(Object.entries(part.columns).map(([name, column]) => [name, column[index]]));
  for (const [name, list] of Object.entries(audit.words)) values[name] = list[values[name]];
  return values;
}

const made = new Map();
export function rows(index) {
  if (index < 0) return [];
  if (!made.has(index)) {
    const part = audit.parts[index];
    made.set(index, part.columns.tws_kn.map((_, i) => row(part, i)));
  }
  return made.get(index);
}

// Wind speeds of the whole result's polars.
const span = d3.extent(audit.parts.flatMap((part) => d3.extent(part.columns.tws_kn)));
export const polarWinds = { least: span[0] ?? 0, most: span[1] ?? 0 };

export const signed = (cell) => (cell.tack === "port" ? -cell.twa_deg : cell.twa_deg);
