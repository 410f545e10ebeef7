"use strict";
// Numbers in words and tables. User text goes through text(), never through html().

// columns: [heading, class, content of a row]
function table(root, rows, columns, isChosen = () => false) {
  root.selectAll("*").remove();
  const made = root.append("table");
  made.append("thead").append("tr").selectAll("th").data(columns).join("th").attr("scope", "col").attr("class", (column) => column[1]).text((column) => column[0]);
  const lines = made.append("tbody").selectAll("tr").data(rows).join("tr").attr("class", (row) => (isChosen(row) ? "chosen" : null));
  for (const [, kind, content] of columns) lines.append("td").attr("class", kind).text(content);
  return lines;
}

function drawReadout() {
  const cell = chosenCell();
  const root = d3.select("#readout");
  if (!cell) {
    root.selectAll("*").remove();
    root.append("p").text("The audit holds no such cell for this region and window.");
    return;
  }
  const lines = [
    ["Flat", `${speed(cell.flat_kn)} kn`, "flat"],
    ["Corrected", `${speed(cell.corrected_kn)} kn`, "corrected"],
    ["Factor", factor(cell.factor), "factor"],
    ["P10 / P50 / P90", `${speed(cell.p10_kn)} / ${speed(cell.p50_kn)} / ${speed(cell.p90_kn)} kn`, "percentiles"],
    ...stages.map((stage) => [words(stage), factor(cell[stage]), stage]),
    ["Mostly by", words(cell.dominant_stage), "dominant"],
    ["Second method", factor(cell.factor_second_method), "second"],
    ["Model band", `${factor(cell.factor_band_slow)} to ${factor(cell.factor_band_fast)}`, "model-band"],
    ["Sea states", String(cell.sea_states), "sea-states"],
    ["Flags", cell.flags ? cell.flags.split(";").map(words).join("; ") : "none", "flags"],
  ];
  const made = table(root, lines, [["Cell", "word", (line) => line[0]], [`${cell.tack}, TWS ${cell.tws_kn}, TWA ${cell.twa_deg}`, "long", (line) => line[1]]]);
  made.attr("data-value", (line) => line[2]);
}

const MOST_ROWS = 12;
function drawWorst() {
  const rows = chosenRows().filter((cell) => cell.factor !== null);
  rows.sort((a, b) => a.factor - b.factor || (b.flat_kn - b.corrected_kn) - (a.flat_kn - a.corrected_kn));
  const lines = table(d3.select("#worst"), rows.slice(0, MOST_ROWS), [
    ["", "word", () => ""],
    ["Tack", "word", (cell) => cell.tack],
    ["TWS kn", "", (cell) => cell.tws_kn],
    ["TWA", "", (cell) => cell.twa_deg],
    ["Flat kn", "", (cell) => speed(cell.flat_kn)],
    ["Corrected kn", "", (cell) => speed(cell.corrected_kn)],
    ["Factor", "", (cell) => factor(cell.factor)],
    ["Mostly by", "word", (cell) => words(cell.dominant_stage)],
    ...stages.map((stage) => [words(stage), "", (cell) => factor(cell[stage])]),
    ["Flags", "word", (cell) => cell.flags.split(";").map(words).join("; ")],
  ], (cell) => cell === chosenCell());
  lines.select("td").append("button").attr("type", "button").text("show")
    .attr("aria-label", (cell) => `show ${cell.tack} tack, TWS ${cell.tws_kn} kn, TWA ${cell.twa_deg}`)
    .on("click", (_, cell) => choose({ tws: cell.tws_kn, twa: cell.twa_deg, tack: cell.tack }));
}

// The limits stand in the manifest in words.
const limitNote = (manifest.model ?? []).find((note) => note.startsWith("advisories against")) ?? "";
const accelerationLimit = Number(/bow acceleration ([\d.]+) g/.exec(limitNote)?.[1] ?? NaN);

function drawAdvisories() {
  const rows = atWind();
  const over = (cell) => cell.bow_acceleration_rms_g > accelerationLimit;
  const value = (number, decimals) => (number === null ? "–" : number.toFixed(decimals));
  const onTack = rows.filter((cell) => cell.tack === chosen.tack).sort((a, b) => a.twa_deg - b.twa_deg);
  table(d3.select("#advisories"), onTack, [
    [`TWA, ${chosen.tack}`, "", (cell) => cell.twa_deg],
    ["Slams /h", "", (cell) => value(cell.slam_rate_per_h, 3)],
    ["Wet decks /h", "", (cell) => value(cell.wetness_rate_per_h, 3)],
    ["Bow g rms", "", (cell) => value(cell.bow_acceleration_rms_g, 4)],
    ["", "word over", (cell) => (over(cell) ? "▲ over the limit" : "")],
  ], (cell) => cell === chosenCell());
  const count = rows.filter(over).length;
  const verdict = Number.isNaN(accelerationLimit) ? "The manifest names no limit." :
    `${count} of ${rows.length} cells of both tacks at this TWS exceed ${accelerationLimit} g rms at the bow.`;
  d3.select("#advisory-note").text(`${verdict} ${limitNote ? `From the manifest: ${limitNote}. ` : ""}Slams and wet decks are given an hour and are not compared with limits that are shares of cycles. Advisories take no speed off.`);
}

function drawGaps() {
  const root = d3.select("#gaps");
  root.selectAll("*").remove();
  const list = (title, lines) => {
    root.append("h3").text(title);
    root.append("ul").selectAll("li").data(lines.length ? lines : ["none"]).join("li").text((line) => line);
  };
  list("Warnings", manifest.warnings ?? []);
  list("Gaps", manifest.gaps ?? []);
  const rows = chosenRows();
  const counts = d3.rollups(rows.flatMap((cell) => cell.flags.split(";").filter(Boolean)), (all) => all.length, (flag) => flag);
  list(`Flags in ${chosen.region}, this window`, counts.map(([flag, count]) => `${words(flag)}: ${count} of ${rows.length} cells`));
}

// Options as lines of "a.b: value".
function flattened(value, path = "") {
  if (value === null || typeof value !== "object" || (Array.isArray(value) && value.every((item) => typeof item !== "object"))) {
    return [[path, Array.isArray(value) ? value.join(", ") || "none" : String(value ?? "none")]];
  }
  return Object.entries(value).flatMap(([key, inner]) => flattened(inner, path ? `${path}.${key}` : key));
}

function drawProvenance() {
  const root = d3.select("#provenance");
  root.append("p").text(`Made by ${manifest.program} ${manifest.version}.`);
  root.append("h3").text("Inputs");
  table(root.append("div"), manifest.inputs ?? [], [
    ["Role", "word", (input) => input.role], ["File", "long", (input) => input.file],
    ["Bytes", "", (input) => input.bytes], ["SHA-256", "long", (input) => input.sha256],
  ]);
  root.append("h3").text("Options and counts");
  table(root.append("div"), [...flattened(manifest.options ?? {}), ...flattened(manifest.counts ?? {}, "counts")], [
    ["Option", "word", (line) => words(line[0])], ["Value", "long", (line) => line[1]],
  ]);
  root.append("h3").text("Model");
  root.append("ul").selectAll("li").data(manifest.model ?? []).join("li").text((line) => line);
}
