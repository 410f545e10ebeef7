// What each cause takes and gives at the chosen wind, by angle: below the line what it takes, above it what it gives.
import { signed, stages, tacksSailed } from "./data.js";
import { atWind, chosen } from "./state.js";
import { causeFill, filledSwatch, legend, svg, widthOf } from "./looks.js";
import { two, words } from "./words.js";

// Knots that each cause takes (below 0: gives): the factors multiply, so each acts on what the ones before left.
export function taken(cell) {
  let left = cell.flat_kn;
  return Object.fromEntries(stages.map((stage) => {
    const before = left;
    left *= cell[stage] ?? 1;
    return [stage, before - left];
  }));
}

function drawAxis(chart, y, left, right) {
  for (const kn of y.ticks(6)) {
    chart.append("line").attr("x1", left).attr("x2", right).attr("y1", y(kn)).attr("y2", y(kn)).attr("stroke", kn === 0 ? "var(--ink)" : "var(--line)");
    chart.append("text").attr("class", "quiet").attr("x", left - 6).attr("y", y(kn) + 4).attr("text-anchor", "end").text(y.tickFormat(6)(Math.abs(kn)));
  }
}

function drawTack(chart, tack, cells, y, left, right, height) {
  const bars = cells.map((cell) => ({ cell, ...taken(cell) }));
  const series = d3.stack().keys(stages).offset(d3.stackOffsetDiverging).value((bar, stage) => -bar[stage])(bars);
  const x = d3.scaleBand(cells.map((cell) => cell.twa_deg), [left, right]).padding(0.18);
  chart.append("g").attr("class", "tack").selectAll("g.stage").data(series).join("g").attr("class", "stage")
    .attr("fill", (stack) => causeFill(stack.key)).attr("stroke", "var(--ink)").attr("stroke-width", 0.5)
    .selectAll("rect").data((stack) => stack.map((bar) => ({ bar, stage: stack.key }))).join("rect")
    .attr("x", ({ bar }) => x(bar.data.cell.twa_deg)).attr("width", x.bandwidth())
    .attr("y", ({ bar }) => y(bar[1])).attr("height", ({ bar }) => Math.max(0, y(bar[0]) - y(bar[1])))
    .append("title").text(({ bar, stage }) => `${tack} TWA ${bar.data.cell.twa_deg}: ${words(stage)} ${bar.data[stage] < 0 ? "gives" : "takes"} ${two(Math.abs(bar.data[stage]))} kn`);
  const every = Math.max(1, Math.ceil(30 / x.step()));
  cells.forEach((cell, i) => {
    if (i % every === 0) chart.append("text").attr("class", "quiet").attr("x", x(cell.twa_deg) + x.bandwidth() / 2).attr("y", height - 26).attr("text-anchor", "middle").text(cell.twa_deg);
  });
  chart.append("text").attr("x", (left + right) / 2).attr("y", height - 8).attr("text-anchor", "middle").text(`TWA on ${tack} tack`);
}

export function drawStages() {
  const root = d3.select("#stages"), width = widthOf(root, 860), height = 320, top = 26, left = 44, bottom = height - 44;
  const cells = atWind().toSorted((a, b) => signed(a) - signed(b));
  const sums = cells.map((cell) => Object.values(taken(cell)));
  const most = d3.max(sums, (knots) => d3.sum(knots.filter((kn) => kn > 0))) ?? 0, least = d3.max(sums, (knots) => -d3.sum(knots.filter((kn) => kn < 0))) ?? 0;
  const y = d3.scaleLinear([-Math.max(0.1, most), Math.max(most > 0 ? 0.15 * most : 0.1, least)], [bottom, top]).nice();
  d3.select("#stages-title").text(`What each cause takes and gives at ${chosen.tws ?? "–"} kn of wind`);
  const chart = svg(root, width, height, `Knots that each cause takes and gives at TWS ${chosen.tws} kn by TWA`);
  drawAxis(chart, y, left, width - 8);
  chart.append("text").attr("x", 4).attr("y", 14).text("kn given");
  chart.append("text").attr("class", "halo").attr("x", left + 4).attr("y", bottom - 4).text("kn taken");
  const shown = [...tacksSailed].reverse(), wide = (width - 8 - left) / Math.max(1, shown.length);
  shown.forEach((tack, k) => drawTack(chart, tack, cells.filter((cell) => cell.tack === tack), y, left + k * wide, left + (k + 1) * wide - 6, height));
  legend(d3.select("#stages-legend"), stages.map((stage) => ({ text: words(stage), sign: filledSwatch(causeFill(stage)) })));
}
