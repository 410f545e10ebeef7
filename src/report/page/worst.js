// The polar cells that lose most, as a table to filter and sort.
import { stages } from "./data.js";
import { POINTS_OF_SAILING, pointOf } from "./means.js";
import { choose, chosenRows, isChosen } from "./state.js";
import { table } from "./tables.js";
import { factor, percent, speed, two, words } from "./words.js";

const MOST_ROWS = 12;
const lost = (cell) => cell.flat_kn - cell.corrected_kn;
// What a cell costs where its wind blows.
const weighed = (cell) => lost(cell) * cell.wind_share;

const COLUMNS = [
  ["Tack", "word", (cell) => cell.tack, (cell) => cell.tack],
  ["TWS kn", "", (cell) => cell.tws_kn, (cell) => cell.tws_kn],
  ["TWA", "", (cell) => cell.twa_deg, (cell) => cell.twa_deg],
  ["Lost kn", "", (cell) => two(lost(cell)), (cell) => -lost(cell)],
  ["Wind blows", "", (cell) => percent(cell.wind_share), (cell) => -cell.wind_share],
  ["Lost × blows", "", (cell) => two(weighed(cell)), (cell) => -weighed(cell)],
  ["Flat kn", "", (cell) => speed(cell.flat_kn), (cell) => -cell.flat_kn],
  ["Corrected kn", "", (cell) => speed(cell.corrected_kn), (cell) => -cell.corrected_kn],
  ["Factor", "", (cell) => factor(cell.factor), (cell) => cell.factor],
  ["Stopped", "", (cell) => percent(cell.stopped_share), (cell) => -cell.stopped_share],
  ["Mostly by", "word", (cell) => words(cell.dominant_stage), (cell) => cell.dominant_stage],
  ...stages.map((stage) => [words(stage), "", (cell) => factor(cell[stage]), (cell) => cell[stage]]),
  ["Flags", "word", (cell) => cell.flags.split(";").map(words).join("; "), (cell) => cell.flags],
];
const shown = { sort: "Lost × blows", backwards: false, point: "all", cause: "all", blowing: true, more: false };

function admitted() {
  return chosenRows().filter((cell) => cell.factor !== null && (!shown.blowing || cell.wind_share > 0)
    && (shown.point === "all" || POINTS_OF_SAILING[pointOf(cell.twa_deg)] === shown.point)
    && (shown.cause === "all" || cell.dominant_stage === shown.cause));
}

export function drawWorst() {
  const key = COLUMNS.find((column) => column[0] === shown.sort)[3];
  const order = shown.backwards ? d3.descending : d3.ascending;
  const rows = admitted().toSorted((a, b) => order(key(a), key(b)) || lost(b) - lost(a));
  const root = d3.select("#worst"), some = shown.more ? rows : rows.slice(0, MOST_ROWS);
  const lines = table(root, some, [["", "word", () => ""], ...COLUMNS.map((column) => ["", column[1], column[2]])], isChosen);
  root.selectAll("thead th").data([null, ...COLUMNS]).each(function head(column) {
    const name = column?.[0];
    const th = d3.select(this).attr("aria-sort", name === shown.sort ? (shown.backwards ? "descending" : "ascending") : null);
    if (name) th.append("button").attr("type", "button").text(name + (name === shown.sort ? (shown.backwards ? " ▼" : " ▲") : "")).on("click", () => sortBy(name));
  });
  lines.select("td").append("button").attr("type", "button").text("show").attr("aria-label", (cell) => `show ${cell.tack} tack, TWS ${cell.tws_kn} kn, TWA ${cell.twa_deg}`)
    .on("click", (_, cell) => choose({ tws: cell.tws_kn, twa: cell.twa_deg }));
  d3.select("#worst-note").text(`${some.length} of ${rows.length} cells.`);
  d3.select("#worst-more").property("hidden", rows.length <= MOST_ROWS).text(shown.more ? "fewer" : "all of them");
}

function sortBy(name) {
  shown.backwards = name === shown.sort && !shown.backwards;
  shown.sort = name;
  drawWorst();
}

export function listenWorst() {
  const fill = (id, values) => d3.select(id).selectAll("option").data(["all", ...values]).join("option").attr("value", String).text(words);
  fill("#worst-point", POINTS_OF_SAILING);
  fill("#worst-cause", ["none", ...stages.map((stage) => stage.replace(/^stage_/, ""))]);
  d3.select("#worst-point").on("change", (event) => { shown.point = event.target.value; drawWorst(); });
  d3.select("#worst-cause").on("change", (event) => { shown.cause = event.target.value; drawWorst(); });
  d3.select("#worst-blowing").on("change", (event) => { shown.blowing = event.target.checked; drawWorst(); });
  d3.select("#worst-more").on("click", () => { shown.more = !shown.more; drawWorst(); });
}
