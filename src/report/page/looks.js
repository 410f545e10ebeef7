// The colours of the look that is on.
import { causeLook, GAINS, inkOn, SCALES, classOf, sizeColour } from "./scales.js";
import { stages } from "./data.js";
import { chosen } from "./state.js";

export const dark = matchMedia("(prefers-color-scheme: dark)");
// Paper is light whatever the screen shows.
let printing = false;
export function setPrinting(now) { printing = now; }

export function look() {
  if (printing) return "light";
  return chosen.look === "system" ? (dark.matches ? "dark" : "light") : chosen.look;
}

export const colourOf = (scale, value) => sizeColour(look(), classOf(scale, value));
export const inkOf = (colour) => inkOn(look(), colour);

// The classes of a scale side by side, numbers at their borders.
export function drawRamp(root, scale, gains = false) {
  const { title, unit, borders, tick } = SCALES[scale];
  const ramp = root.append("div").attr("class", "ramp").attr("role", "img")
    .attr("aria-label", `Scale: ${title}, ${unit}, from ${tick(borders[0])} to ${tick(borders.at(-1))}`);
  ramp.append("span").attr("class", "ramp-title").text(`${title}${unit === "of flat" ? " (1.00: nothing taken)" : `, ${unit}`}`);
  const boxes = ramp.append("span").attr("class", "boxes");
  const classes = [...(gains ? [GAINS] : []), ...d3.range(borders.length + 1)];
  const box = boxes.selectAll("span").data(classes).join("span").attr("class", "box");
  box.append("i").attr("class", (kind) => (kind === GAINS ? "gains" : null)).style("background-color", (kind) => sizeColour(look(), kind));
  box.append("b").text((kind) => (kind === GAINS ? "gains" : kind < borders.length ? tick(borders[kind]) : ""))
    .attr("class", (kind) => (kind === GAINS ? "whole" : null));
}

export function legend(root, entries) {
  const item = root.selectAll("span.entry").data(entries).join("span").attr("class", "entry");
  item.selectAll("*").remove();
  item.each(function sign(entry) { entry.sign(d3.select(this)); });
  item.append("span").text((entry) => entry.text);
}

// A sign of a legend: a swatch drawn as on the chart.
export const swatch = (paint) => (root) => {
  const box = root.append("svg").attr("class", "swatch").attr("viewBox", "0 0 18 12").attr("aria-hidden", "true");
  paint(box);
};
export const filledSwatch = (fill) => swatch((box) => box.append("rect").attr("width", 18).attr("height", 12).attr("fill", fill).attr("stroke", "var(--faint)"));
export const lineSwatch = (colour, width, dash) => swatch((box) => box.append("line").attr("x2", 18).attr("y1", 6).attr("y2", 6)
  .attr("stroke", colour).attr("stroke-width", width).attr("stroke-dasharray", dash));

export function svg(root, width, height, label) {
  root.selectAll("svg.drawn").remove();
  return root.append("svg").attr("class", "drawn").attr("viewBox", `0 0 ${width} ${height}`).attr("role", "img").attr("aria-label", label);
}
export const widthOf = (root, most) => Math.min(most, Math.max(260, root.node().clientWidth || 600));

// Textures, so that causes are told apart without colour: at night, on grey paper, by any eye.
const TEXTURES = {
  plain: "", lines: "M0,2H8M0,6H8", upright: "M2,0V8M6,0V8", rising: "M-1,1L1,-1M0,8L8,0M7,9L9,7", falling: "M-1,7L1,9M0,0L8,8M7,-1L9,1",
  crossed: "M0,0L8,8M0,8L8,0", dots: "M2,2h.1M6,6h.1", dense: "M1,1h.1M5,1h.1M3,5h.1M7,5h.1", sparse: "M4,4h.1",
};
function cause(stage) {
  return causeLook(look(), stages, stage);
}
// Fills of all causes, once for the page: charts refer to them by name.
export function drawTextures() {
  const defs = d3.select("#textures");
  defs.selectAll("*").remove();
  for (const stage of stages) {
    const { colour, pattern } = cause(stage);
    const made = defs.append("pattern").attr("id", `cause-${stage}`).attr("width", 8).attr("height", 8).attr("patternUnits", "userSpaceOnUse");
    made.append("rect").attr("width", 8).attr("height", 8).attr("fill", colour);
    const strong = look() === "night";
    made.append("path").attr("d", TEXTURES[pattern]).attr("fill", "none").attr("stroke", strong ? "#ff7a6a" : "var(--panel)")
      .attr("stroke-width", strong ? 2 : 1.1).attr("stroke-linecap", "round").attr("stroke-opacity", strong ? 1 : 0.75);
  }
}
export const causeFill = (stage) => `url(#cause-${stage})`;
export const causeColour = (stage) => cause(stage).colour;
