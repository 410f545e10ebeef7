// The map by keyboard: arrow keys go from cell to cell, Enter or Space chooses as a tap does.
import { cells } from "./data.js";
import { choose, chosen } from "./state.js";
import { cellBox, cellWords } from "./map_cells.js";

const map = d3.select("#map");
// The cells drawn, in rows from north to south, each from west to east.
let placeRows = [];
// The place that the keys have reached, and whether it is marked.
let at = null, marked = false;

const same = (a) => (b) => a.region === b.region && a.cell.lat === b.cell.lat && a.cell.lon === b.cell.lon;
const nearest = (row, x) => row?.[d3.leastIndex(row, (a, b) => Math.abs(a.x - x) - Math.abs(b.x - x))];

// Takes in the cells of a map that has just been drawn; a place that it shows too is kept.
export function layKeys(projection, shown) {
  const box = cellBox(projection);
  const places = shown.flatMap(({ part, cells }) => cells.map((cell) => ({ region: part.region, cell, x: projection([cell.lon, cell.lat])[0], box: box(cell) })));
  placeRows = d3.groups(places, (place) => place.cell.lat).sort((a, b) => b[0] - a[0])
    .map(([, row]) => d3.sort(row, (place) => place.x));
  at = (at && places.find(same(at))) ?? null;
  drawMark();
}

function drawMark() {
  map.selectAll(".mark").remove();
  if (!at || !marked) return;
  const mark = map.select("svg.drawn").append("g").attr("class", "mark");
  for (const [colour, width] of [["var(--panel)", 7], ["var(--focus)", 3]]) {
    mark.append("path").attr("d", at.box).attr("fill", "none").attr("stroke", colour).attr("stroke-width", width);
  }
}

function goTo(place) {
  if (!place) return;
  [at, marked] = [place, true];
  d3.select("#cell-readout").text(cellWords(place.cell));
  drawMark();
}

function unmark() {
  marked = false;
  drawMark();
}

// The middle one of the chosen region's cells.
function start() {
  const places = placeRows.flat(), own = places.filter((place) => place.region === chosen.region);
  const among = own.length ? own : places;
  return among[Math.floor(among.length / 2)];
}

// The next place by a key; at an edge, the same one.
function beyond(key) {
  const row = placeRows.findIndex((places) => places.includes(at));
  const column = placeRows[row].indexOf(at);
  switch (key) {
    case "ArrowLeft": return placeRows[row][column - 1] ?? at;
    case "ArrowRight": return placeRows[row][column + 1] ?? at;
    case "ArrowUp": return nearest(placeRows[row - 1], at.x) ?? at;
    default: return nearest(placeRows[row + 1], at.x) ?? at;
  }
}

function onKey(event) {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (/^Arrow(Left|Right|Up|Down)$/.test(event.key)) goTo(at ? beyond(event.key) : start());
  else if (["Enter", " "].includes(event.key) && at) choose({ region: at.region });
  else return;
  event.preventDefault();
}

export function listen() {
  if (!cells) return;
  // the page's keys belong to the map while it has the focus, also where a screen reader listens
  map.attr("tabindex", 0).attr("role", "application")
    .attr("aria-label", "Cells of the forecast: arrow keys go from one to the next, Enter chooses the region of one")
    .on("keydown", onKey).on("blur", unmark)
    // after a tap the keys begin anew, in the region it chose
    .on("pointerdown", () => { at = null; unmark(); })
    .on("focus", () => { if (map.node().matches(":focus-visible")) goTo(at?.region === chosen.region ? at : start()); });
}
