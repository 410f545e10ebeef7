// What if: her polar in a sea of one's own choosing, computed in the page from the boat's atlas.
import { cellsOf, readJson, result, seaOf, signed } from "./data.js";
import { atWind, chosen, chosenPart } from "./state.js";
import { colourOf, inkOf, legend, lineSwatch, svg, widthOf } from "./looks.js";
import { cellOf } from "./map_cells.js";
import { speed, tenth, two } from "./words.js";

const data = readJson("atlas-data");
// The atlas's own code stands in the page beside its data.
const atlas = data && globalThis.openAtlas(data);
const table = atlas && Object.values(atlas.tables)[0];
const sea = { tws: 10, hs: 2, tp: 8, off: 0, kind: "swell" };

const SLIDERS = [
  ["tws", (value) => `${two(value)} kn`], ["hs", (value) => `${value.toFixed(1)} m`], ["tp", (value) => `${value.toFixed(1)} s`],
  ["off", (value) => (value === 0 ? "with the wind" : value === 180 || value === -180 ? "against the wind" : `${Math.abs(value)}° ${value > 0 ? "clockwise" : "anticlockwise"} of the wind`)],
];

// The chosen region's own sea: where the sliders begin.
function regionSea() {
  const known = seaOf(chosen.region, chosen.window), cells = (cellsOf(chosenPart())?.cells ?? []).map(cellOf).filter((cell) => cell.waveFrom !== null && cell.windFrom !== null);
  const energy = (cell) => cell.hs ** 2, whole = d3.sum(cells, energy);
  const off = cells.map((cell) => [energy(cell), (cell.waveFrom - cell.windFrom) * Math.PI / 180]);
  const turned = Math.atan2(d3.sum(off, ([weight, angle]) => weight * Math.sin(angle)), d3.sum(off, ([weight, angle]) => weight * Math.cos(angle))) * 180 / Math.PI;
  return {
    tws: chosen.tws ?? 10, hs: known?.hs_m ?? (cells.length ? Math.sqrt(whole / cells.length) : 2), tp: whole > 0 ? d3.sum(cells, (cell) => energy(cell) * cell.period) / whole : 8,
    off: cells.length ? turned : 0,
  };
}

const systems = () => [{ kind: sea.kind, hs_m: sea.hs, tp_s: sea.tp, off_wind_deg: sea.off }];

// Speeds in the sea of the sliders on every heading of the polar: nothing where the atlas does not reach.
export function speedsNow() {
  if (!atlas || atlas.beyond(systems())) return null;
  return atlas.headings.map(({ tack, twa_deg, signed_twa_deg }) => ({ tack, twa_deg, ...atlas.speed(systems(), sea.tws, signed_twa_deg) }));
}

function drawDiagram(cells) {
  const root = d3.select("#what-if-polar"), width = widthOf(root, 460), height = width, radius = width / 2 - 28;
  const own = sea.tws === chosen.tws ? atWind() : [];
  const r = d3.scaleLinear([0, d3.max([...cells.flatMap((cell) => [cell.flat_kn, cell.corrected_kn]), ...own.map((cell) => cell.corrected_kn)]) || 1], [0, radius]).nice(4);
  const chart = svg(root, width, height, `Polar in the sea of the sliders at ${two(sea.tws)} kn of wind`).append("g").attr("transform", `translate(${width / 2},${height / 2})`);
  for (const kn of r.ticks(4).filter((kn) => kn > 0)) {
    chart.append("circle").attr("r", r(kn)).attr("fill", "none").attr("stroke", "var(--line)");
    chart.append("text").attr("class", "quiet halo").attr("x", 3).attr("y", -r(kn) + 12).text(`${kn} kn`);
  }
  for (const tack of ["port", "starboard"]) {
    const line = (some, value) => d3.lineRadial().angle((cell) => signed(cell) * Math.PI / 180).radius((cell) => r(value(cell)))(d3.sort(some.filter((cell) => cell.tack === tack), (cell) => cell.twa_deg));
    const add = (some, value, colour, width, dash) => chart.append("path").attr("d", line(some, value)).attr("fill", "none").attr("stroke", colour).attr("stroke-width", width).attr("stroke-dasharray", dash);
    add(cells, (cell) => cell.flat_kn, "var(--ink)", 1.5, "5 4");
    add(own, (cell) => cell.corrected_kn, "var(--faint)", 2, "1.5 3");
    add(cells, (cell) => cell.corrected_kn, "var(--mark)", 3);
  }
  legend(d3.select("#what-if-legend"), [
    { text: "flat water", sign: lineSwatch("var(--ink)", 1.5, "5 4") }, { text: "in this sea", sign: lineSwatch("var(--mark)", 3) },
    ...(own.length ? [{ text: `${chosen.region} as forecast`, sign: lineSwatch("var(--faint)", 2, "1.5 3") }] : []),
  ]);
}

function drawNumbers(cells) {
  const root = d3.select("#what-if-table"), angles = [...new Set(cells.map((cell) => cell.twa_deg))].sort(d3.ascending);
  root.selectAll("*").remove();
  const made = root.append("table").attr("class", "heat");
  made.append("thead").append("tr").selectAll("th").data(["TWA", "flat", "starboard", "port"]).join("th").attr("scope", "col").text(String);
  const row = made.append("tbody").selectAll("tr").data(angles).join("tr");
  row.append("th").attr("scope", "row").text((twa) => `${twa}°`);
  row.append("td").text((twa) => tenth(cells.find((cell) => cell.twa_deg === twa).flat_kn));
  row.selectAll("td.tack").data((twa) => ["starboard", "port"].map((tack) => cells.find((cell) => cell.twa_deg === twa && cell.tack === tack))).join("td").attr("class", "tack")
    .attr("data-speed", (cell) => speed(cell?.corrected_kn)).text((cell) => (cell ? `${tenth(cell.corrected_kn)} (${two(cell.corrected_kn - cell.flat_kn)})` : "–"))
    .style("background-color", (cell) => (cell ? colourOf("lost", cell.flat_kn - cell.corrected_kn) : null))
    .style("color", (cell) => (cell ? inkOf(colourOf("lost", cell.flat_kn - cell.corrected_kn)) : null));
}

function beyondWords({ what, tp_s, greatest_hs_m }) {
  return what === "period" ? `The atlas holds periods from ${two(tp_s[0])} to ${two(tp_s.at(-1))} s: nothing is said of this sea.` :
    `So steep a sea would break: at ${sea.tp.toFixed(1)} s the atlas holds heights up to ${two(greatest_hs_m)} m, and nothing is said beyond.`;
}

export function drawWhatIf() {
  if (!atlas) return;
  for (const [key, text] of SLIDERS) {
    d3.select(`#if-${key}`).property("value", sea[key]).attr("aria-valuetext", text(sea[key]));
    d3.select(`#if-${key}-out`).text(text(sea[key]));
  }
  const cells = speedsNow(), beyond = atlas.beyond(systems());
  d3.select("#what-if-words").text(beyond ? beyondWords(beyond) : `${two(sea.tws)} kn of wind and waves of ${sea.hs.toFixed(1)} m, ${sea.tp.toFixed(1)} s.`);
  for (const id of ["#what-if-polar", "#what-if-table"]) d3.select(id).property("hidden", !cells);
  if (!cells) return;
  drawDiagram(cells);
  drawNumbers(cells);
}

const stepped = (value, { min, max, step }) => Math.min(Number(max), Math.max(Number(min), Math.round(value / Number(step)) * Number(step)));
function begin() {
  const own = regionSea();
  for (const [key] of SLIDERS) sea[key] = Number(stepped(own[key], document.getElementById(`if-${key}`)).toFixed(2));
  drawWhatIf();
}

// What the atlas itself says of its error.
function errorWords() {
  const rows = (data.errors ?? []).filter((row) => row.fineness === data.fineness && ["swell", "wind sea"].includes(row.seas));
  return rows.map((row) => `${row.seas}: 95 % of speeds within ${row.within_95_kn.toFixed(2)} kn of the direct computation${row.chance_kn > 0.005 ? `, whose own chance is ${row.chance_kn.toFixed(2)} kn` : ""}`).join("; ") + (rows.length ? "." : "");
}

export function listenWhatIf() {
  d3.select("#what-if-link").property("hidden", !result.what_if).attr("href", result.what_if);
  d3.select("#what-if").property("hidden", !atlas && !result.what_if);
  d3.select("#what-if-body").property("hidden", !atlas);
  if (!atlas) return;
  d3.select("#what-if-error").text(errorWords());
  d3.select("#if-tws").attr("min", data.tws_kn[0]).attr("max", data.tws_kn.at(-1));
  d3.select("#if-tp").attr("min", Math.ceil(table.tp_s[0] * 2) / 2).attr("max", Math.floor(table.tp_s.at(-1) * 2) / 2);
  d3.select("#if-hs").attr("max", Math.ceil(d3.max(table.greatest_hs_m)));
  for (const [key] of SLIDERS) d3.select(`#if-${key}`).on("input", (event) => { sea[key] = Number(event.target.value); drawWhatIf(); });
  d3.select("#if-kind").on("change", (event) => { sea.kind = event.target.value; drawWhatIf(); });
  d3.select("#if-region").on("click", begin);
}
export const startWhatIf = () => { if (atlas) begin(); };
