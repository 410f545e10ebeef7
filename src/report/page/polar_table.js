// The polar itself, flat, corrected and what is lost, as a table of numbers that the sea has coloured.
import { ascending, audit, result, rows, tacksSailed } from "./data.js";
import { means } from "./means.js";
import { choose, chosen, chosenPart, fileTacks } from "./state.js";
import { colourOf, drawRamp, inkOf } from "./looks.js";
import { classOf, GAINS } from "./scales.js";
import { percent, speed, tenth, two } from "./words.js";

export const TACK_WORDS = {
  mean: "both tacks, mean time", slower: "the slower tack", signed: "both tacks, port with a minus", starboard: "starboard tack", port: "port tack",
};

// How a file's choice makes one speed of two tacks.
const JOINED = {
  mean: (a, b) => (a > 0 && b > 0 ? 2 / (1 / a + 1 / b) : 0),
  slower: Math.min,
};

function servedPolar(region, window) {
  const [start, end] = window.split("/").map((time) => Date.parse(time));
  const polars = result.regions.find(({ name }) => name === region)?.polars ?? [];
  return polars.find((polar) => Date.parse(polar.start) === start && Date.parse(polar.end) === end) ?? null;
}

// Speeds by signed angle and wind, of the audit.
function ofAudit(index, choice) {
  const cells = new Map();
  for (const cell of rows(index)) {
    const twa = choice === "signed" && cell.tack === "port" ? -cell.twa_deg : cell.twa_deg;
    if (tacksSailed.includes(choice) && cell.tack !== choice) continue;
    const key = `${twa}/${cell.tws_kn}`;
    cells.set(key, [...(cells.get(key) ?? []), cell]);
  }
  return cells;
}

const joined = (choice, values) => (values.length === 2 && JOINED[choice] ? JOINED[choice](...values) : values[0]);

// The table of a part and a choice of tacks: winds, angles, and for each the speeds and the audit's cells.
export function polarTable(index, choice) {
  const part = audit.parts[index];
  if (!part) return null;
  const cells = ofAudit(index, choice);
  const tws = ascending(part.columns.tws_kn);
  const twa = ascending([...cells.keys()].map((key) => Number(key.split("/")[0])));
  const served = choice === fileTacks ? servedPolar(part.region, `${part.start}/${part.end}`) : null;
  const asServed = (angle, wind) => {
    const [row, column] = [served.twa_deg.indexOf(angle), served.tws_kn.indexOf(wind)];
    return row < 0 || column < 0 ? null : served.speeds_kn[row * served.tws_kn.length + column];
  };
  const at = (angle, wind) => {
    const here = cells.get(`${angle}/${wind}`) ?? [];
    if (here.length === 0) return null;
    const corrected = served ? asServed(angle, wind) : joined(choice, here.map((cell) => cell.corrected_kn));
    const flat = joined(choice, here.map((cell) => cell.flat_kn));
    return { flat, corrected, lost: flat - corrected, cells: here, stopped: d3.max(here, (cell) => cell.stopped_share) };
  };
  return { tws, twa, at, file: served?.file ?? null };
}

// What the table shows of a cell, and by what it is coloured.
const VIEWS = {
  corrected: { text: (cell, all) => (all ? cell.corrected.toFixed(2) : tenth(cell.corrected)), coloured: true },
  difference: { text: (cell, all) => (all ? (-cell.lost).toFixed(2).replace("-", "−").replace(/^−0\.00$/, "0.00") : two(-cell.lost)), coloured: true },
  flat: { text: (cell, all) => (all ? cell.flat.toFixed(2) : tenth(cell.flat)), coloured: false },
};
export const shownView = { view: "corrected", digits: false, allWinds: true };

// Winds that blow, and those beside them; all of them where none is known to.
export function windsOfTable(index, tws, allWinds) {
  const blowing = (means(index)?.winds ?? []).filter(([, share]) => share >= 0.01).map(([wind]) => wind);
  if (allWinds || blowing.length === 0) return tws;
  const [low, high] = [tws.indexOf(d3.min(blowing)), tws.indexOf(d3.max(blowing))];
  return tws.filter((_, k) => k >= low - 1 && k <= high + 1);
}

export function drawTable() {
  const root = d3.select("#table"), index = chosenPart();
  root.selectAll("*").remove();
  const polar = polarTable(index, chosen.tack);
  d3.select("#table-legend").selectAll("*").remove();
  if (!polar) {
    root.append("p").text(`No polar: the forecast holds no usable sea for ${chosen.region} in this window.`);
    return;
  }
  const { view, digits, allWinds } = shownView, shares = new Map(means(index).winds);
  const tws = windsOfTable(index, polar.tws, allWinds);
  const table = root.append("table").attr("class", "heat").classed("tall", polar.twa.length > 24);
  table.append("caption").text(`${chosen.region}, ${TACK_WORDS[chosen.tack] ?? chosen.tack}: ${view === "flat" ? "flat-water" : view === "corrected" ? "corrected" : "what the sea makes of the"} speed, kn`);
  const head = table.append("thead");
  const top = head.append("tr");
  top.append("th").attr("scope", "col").html("").append("span").text("TWA");
  top.selectAll("th.wind").data(tws).join("th").attr("class", "wind").attr("scope", "col").classed("here", (wind) => wind === chosen.tws)
    .text((wind) => wind).on("click", (_, wind) => choose({ tws: wind }));
  const blows = head.append("tr").attr("class", "blows");
  blows.append("th").attr("scope", "row").text("blows");
  blows.selectAll("td").data(tws).join("td").text((wind) => (shares.get(wind) > 0 ? percent(shares.get(wind)).replace(" %", "%").replace("under ", "<") : "–"));
  const line = table.append("tbody").selectAll("tr").data(polar.twa).join("tr");
  line.append("th").attr("scope", "row").classed("here", (twa) => Math.abs(twa) === chosen.twa).text((twa) => `${twa}°`.replace("-", "−"));
  line.selectAll("td").data((twa) => tws.map((wind) => ({ twa, wind, cell: polar.at(twa, wind) }))).join("td")
    .each(function write({ twa, wind, cell }) { writeCell(d3.select(this), twa, wind, cell, VIEWS[view], digits, shares.get(wind) > 0); });
  drawTableLegend(view);
  d3.select("#file-link").selectAll("*").remove();
}

function writeCell(td, twa, wind, cell, view, digits, blows) {
  if (!cell) { td.text("–"); return; }
  const colour = view.coloured && cell.flat > 0 ? colourOf("lost", cell.lost) : null;
  td.text(view.text(cell, digits)).classed("calm", !blows).classed("stops", cell.stopped >= 0.005).classed("gains", view.coloured && cell.flat > 0 && classOf("lost", cell.lost) === GAINS)
    .classed("here", wind === chosen.tws && Math.abs(twa) === chosen.twa)
    .style("background-color", colour).style("color", colour && inkOf(colour))
    .attr("title", `TWS ${wind} kn, TWA ${twa}: flat ${speed(cell.flat)}, corrected ${speed(cell.corrected)} kn${cell.stopped > 0 ? `, stopped in ${percent(cell.stopped)} of the sea` : ""}`)
    .on("click", () => choose({ tws: wind, twa: Math.abs(twa) }));
}

function drawTableLegend(view) {
  const root = d3.select("#table-legend");
  if (view !== "flat") drawRamp(root, "lost", true);
  root.append("p").attr("class", "note").text("Second row: how much of the sea in this window looks the column up. Columns in small type hardly blow here. "
    + "A corner cut off: part of the sea stops her, the cell readout says how much.");
}
