// The chosen polar cell: a sentence for the helm, and on demand every digit of the audit.
import { stages } from "./data.js";
import { chosen, chosenCells } from "./state.js";
import { table } from "./tables.js";
import { factor, percent, speed, tenth, two, words } from "./words.js";

function sentenceOf(cell) {
  if (!(cell.flat_kn > 0)) return `On ${cell.tack} tack the polar has no speed here.`;
  const lost = cell.flat_kn - cell.corrected_kn;
  const cause = cell.dominant_stage === "none" ? "" : `, most by ${words(cell.dominant_stage)}`;
  const what = lost < -0.005 ? `gains ${two(-lost)}` : lost < 0.005 ? "loses nothing" : `loses ${two(lost)}`;
  const parts = [`On ${cell.tack} tack ${tenth(cell.corrected_kn)} kn instead of ${tenth(cell.flat_kn)}: she ${what}${lost < 0.005 && lost > -0.005 ? "" : " kn"}${cause}.`,
    `Four fifths of the sea give ${tenth(cell.p10_kn)} to ${tenth(cell.p90_kn)} kn.`];
  if (cell.speed_sd_kn > 0) parts.push(`Her speed swings by ${two(cell.speed_sd_kn)} kn as waves pass.`);
  if (cell.stopped_share > 0) parts.push(`${percent(cell.stopped_share)} of the sea stops her.`);
  return parts.join(" ");
}

const LINES = [
  ["Flat", (cell) => `${speed(cell.flat_kn)} kn`, "flat"],
  ["Corrected", (cell) => `${speed(cell.corrected_kn)} kn`, "corrected"],
  ["Factor", (cell) => factor(cell.factor), "factor"],
  ["P10 / P50 / P90", (cell) => `${speed(cell.p10_kn)} / ${speed(cell.p50_kn)} / ${speed(cell.p90_kn)} kn`, "percentiles"],
  ...stages.map((stage) => [words(stage), (cell) => factor(cell[stage]), stage]),
  ["Mostly by", (cell) => words(cell.dominant_stage), "dominant"],
  ["Speed swing", (cell) => (cell.speed_sd_kn === null ? "not computed" : `${speed(cell.speed_sd_kn)} kn`), "swing"],
  ["Second method", (cell) => factor(cell.factor_second_method), "second"],
  ["Model band", (cell) => `${factor(cell.factor_band_slow)} to ${factor(cell.factor_band_fast)}`, "model-band"],
  ["Stopped share", (cell) => speed(cell.stopped_share), "stopped"],
  ["Sea states", (cell) => String(cell.sea_states), "sea-states"],
  ["Flags", (cell) => (cell.flags ? cell.flags.split(";").map(words).join("; ") : "none"), "flags"],
];

export function drawCell() {
  const cells = chosenCells(), root = d3.select("#cell-words");
  d3.select("#cell-title").text(cells.length ? `At ${chosen.tws} kn of wind, ${chosen.twa}° off it` : "The chosen cell");
  root.selectAll("p").data(cells.length ? cells.map(sentenceOf) : ["The audit holds no such cell for this region and window."]).join("p").text((line) => line);
  const digits = d3.select("#readout");
  digits.selectAll("*").remove();
  if (cells.length === 0) return;
  const lines = table(digits, LINES, [["Cell", "word", (line) => line[0]],
    ...cells.map((cell) => [`${cell.tack}, TWS ${cell.tws_kn}, TWA ${cell.twa_deg}`, "long", (line) => line[1](cell)])]);
  lines.attr("data-value", (line) => line[2]);
}
