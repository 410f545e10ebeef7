"use strict";
// Colours: one ordered scale from the paper to what stands out most from it.

const dark = matchMedia("(prefers-color-scheme: dark)");
function look() {
  const set = document.documentElement.dataset.look;
  return set === "system" ? (dark.matches ? "dark" : "light") : set;
}

const redNight = d3.interpolateRgb("#2e0503", "#ff6a55");
// t from 0, nothing taken, to 1
function shade(t) {
  switch (look()) {
    case "night": return redNight(t);
    case "dark": return d3.interpolateCividis(0.12 + 0.88 * t);
    default: return d3.interpolateCividis(0.95 * (1 - t));
  }
}
const stageShade = (index) => shade((index + 0.5) / stages.length);

// Loss runs from nothing to the most that the result holds, in whole steps of 5 %.
const greatestLoss = (() => {
  const means = audit.parts.map((_, index) => meanFactor(index));
  const all = cells ? cells.parts.flatMap((part) => part.cells.map((cell) => cell[2])) : means;
  const least = d3.min(all.filter((value) => value !== null && value !== undefined)) ?? 1;
  return Math.max(0.05, Math.ceil((1 - least) * 20 - 1e-9) / 20);
})();
const lossShade = (mean) => shade(Math.min(1, Math.max(0, (1 - mean) / greatestLoss)));

function legend(id, entries) {
  const items = d3.select(id).selectAll("span.entry").data(entries).join("span").attr("class", "entry");
  items.selectAll("*").remove();
  items.append("i").attr("class", "swatch").attr("style", (entry) => entry.style);
  items.append("b").style("font-weight", "400").text((entry) => entry.text);
}

function svg(id, width, height, label) {
  const root = d3.select(id);
  root.selectAll("svg").remove();
  return root.append("svg").attr("viewBox", `0 0 ${width} ${height}`).attr("role", "img").attr("aria-label", label);
}
const widthOf = (id, most) => Math.min(most, Math.max(240, d3.select(id).node().clientWidth));
