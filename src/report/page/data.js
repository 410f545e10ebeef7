"use strict";
// The result, and what is chosen of it.

const readJson = (id) => JSON.parse(document.getElementById(id).textContent);
const result = readJson("result-data");
const land = topojson.feature(readJson("land-data"), "land");
const { audit, manifest, cells, regions } = result;
const stages = audit.stages;
const cellsOfPart = new Map((cells ? cells.parts : []).map((part) => [part.part, part]));
const ascending = (values) => [...new Set(values)].sort(d3.ascending);

const windows = ascending(audit.parts.map((part) => `${part.start}/${part.end}`));
const names = [...new Set([...regions.map((region) => region.name), ...audit.parts.map((part) => part.region)])];
const tacks = audit.words.tack;

const utc = d3.utcFormat("%d %b %Y %H:%M");
const windowText = (window) => {
  const [start, end] = window.split("/").map((time) => new Date(time));
  return start.getTime() === end.getTime() ? utc(start) : `${utc(start)} to ${utc(end)}`;
};

// A stage or flag in words.
const words = (name) => name.replace(/^stage_/, "").replace(/[_-]/g, " ");

// The audit's decimals: what the page shows is what the file holds.
const speed = (kn) => (kn === null ? "–" : kn.toFixed(4));
const factor = (value) => (value === null ? "–" : value.toFixed(6));

// One row of the audit as an object.
function row(part, index) {
  const values = Object.fromEntries(Object.entries(part.columns).map(([name, column]) => [name, column[index]]));
  for (const [name, list] of Object.entries(audit.words)) values[name] = list[values[name]];
  return values;
}

const rowsOf = new Map();
function partIndex(region, window) {
  return audit.parts.findIndex((part) => part.region === region && `${part.start}/${part.end}` === window);
}
function rows(index) {
  if (index < 0) return [];
  if (!rowsOf.has(index)) {
    const part = audit.parts[index];
    rowsOf.set(index, part.columns.tws_kn.map((_, i) => row(part, i)));
  }
  return rowsOf.get(index);
}

// Mean factor of a part's polar cells.
// columns weigh by how much they blow
const meanFactor = (index) => {
  const cells = rows(index).filter((cell) => cell.factor !== null && cell.wind_share > 0);
  const weight = d3.sum(cells, (cell) => cell.wind_share);
  return weight > 0 ? d3.sum(cells, (cell) => cell.wind_share * cell.factor) / weight : d3.mean(rows(index), (cell) => cell.factor);
};

const chosen = { region: names[0], window: windows[0], tws: null, twa: null, tack: tacks[0] };
const chosenRows = () => rows(partIndex(chosen.region, chosen.window));
const chosenCell = () => chosenRows().find((cell) =>
  cell.tws_kn === chosen.tws && cell.twa_deg === chosen.twa && cell.tack === chosen.tack);
const signed = (cell) => (cell.tack === "port" ? -cell.twa_deg : cell.twa_deg);
