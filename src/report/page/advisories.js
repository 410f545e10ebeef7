// Slams, wet decks and the bow's acceleration against published limits, each in the limit's own unit.
import { manifest } from "./data.js";
import { atWind, chosen, isChosen, tacksShown } from "./state.js";
import { table } from "./tables.js";
import { listed, percent, two } from "./words.js";

export const limits = manifest.advisory_limits ?? null;

const share = (rate, cell) => (rate === null || rate === undefined || !(cell.bow_cycles_per_h > 0) ? null : rate / cell.bow_cycles_per_h);
const ADVISORIES = [
  { key: "bow_acceleration_rms_g", name: "bow acceleration, g rms", short: "hard at the bow", of: (cell) => cell.bow_acceleration_rms_g, text: (value) => `${value.toFixed(2)} g` },
  { key: "slam_share", name: "slams, share of the bow's cycles", short: "slamming", of: (cell) => share(cell.slam_rate_per_h, cell), text: (value) => `${(100 * value).toFixed(1)} %` },
  { key: "wetness_share", name: "wet decks, share of the bow's cycles", short: "wet", of: (cell) => share(cell.wetness_rate_per_h, cell), text: (value) => `${(100 * value).toFixed(1)} %` },
];
const over = (advisory, cell) => limits !== null && advisory.of(cell) !== null && advisory.of(cell) > limits[advisory.key];

// Angles in a row as "40 to 75".
function spans(angles, all) {
  const runs = [];
  for (const twa of angles) {
    const last = runs.at(-1);
    if (last && all.indexOf(twa) === all.indexOf(last.at(-1)) + 1) last.push(twa);
    else runs.push([twa]);
  }
  return listed(runs.map((run) => (run.length > 1 ? `${run[0]}° to ${run.at(-1)}°` : `${run[0]}°`)));
}

// What goes beyond its limit at the chosen wind, a sentence each.
export function advisorySentences() {
  const cells = atWind().filter((cell) => cell.flat_kn > 0 && tacksShown().includes(cell.tack));
  const angles = [...new Set(cells.map((cell) => cell.twa_deg))].sort((a, b) => a - b);
  return ADVISORIES.flatMap((advisory) => {
    const beyond = angles.filter((twa) => cells.some((cell) => cell.twa_deg === twa && over(advisory, cell)));
    if (beyond.length === 0) return [];
    const worst = d3.greatest(cells, (cell) => advisory.of(cell) ?? -1);
    return [`Beyond the limit, ${advisory.short}, at ${chosen.tws} kn of wind and TWA ${spans(beyond, angles)}: up to ${advisory.text(advisory.of(worst))} where ${limits.source} allows ${advisory.text(limits[advisory.key])}. The speed does not count it: slow down or bear away.`];
  });
}

export function drawAdvisories() {
  const cells = atWind().filter((cell) => tacksShown().includes(cell.tack)).toSorted((a, b) => d3.ascending(a.tack, b.tack) || a.twa_deg - b.twa_deg);
  const shown = (advisory) => (cell) => {
    const value = advisory.of(cell);
    return value === null ? "–" : `${advisory.text(value)}${over(advisory, cell) ? " ▲" : ""}`;
  };
  table(d3.select("#advisories"), cells, [
    ["Tack", "word", (cell) => cell.tack], ["TWA", "", (cell) => cell.twa_deg],
    ...ADVISORIES.map((advisory) => [`${advisory.name}${limits ? `, limit ${advisory.text(limits[advisory.key])}` : ""}`, "", shown(advisory)]),
    ["slams /h", "", (cell) => two(cell.slam_rate_per_h)], ["wet decks /h", "", (cell) => two(cell.wetness_rate_per_h)],
    ["", "word over", (cell) => (ADVISORIES.some((advisory) => over(advisory, cell)) ? "over the limit" : "")],
  ], isChosen);
  const count = cells.filter((cell) => ADVISORIES.some((advisory) => over(advisory, cell))).length;
  d3.select("#advisory-note").text(limits ? `Limits: ${limits.source}. ${count} of ${cells.length} cells at this wind go beyond one (${percent(cells.length ? count / cells.length : 0)}). Advisories take no speed off.` :
    "The manifest names no limits: the result was made before they stood there.");
}
