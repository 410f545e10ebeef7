// The distribution of the region's seas: area and time weigh.

import { cells, cellsOf } from "./data.js";
import { chosenPart } from "./state.js";
import { filledSwatch, legend, look, svg } from "./looks.js";
import { sizeColour } from "./scales.js";
import { two } from "./words.js";

export function drawSea() {
  const part = cellsOf(chosenPart());
  const root = d3.select("#sea");
  root.selectAll("*").remove();
  if (!part) {
    d3.select("#sea-note").text(cells ? "No cell of this region lies in this window." : "The result holds no cells.csv, from which this is drawn.");
    return;
  }
  const { seas } = part;
  rose(root.append("div").attr("id", "rose"), seas);
  histogram(root.append("div").attr("id", "hs"), "Significant wave height, m", seas.hs, seas.hs_step_m);
  histogram(root.append("div").attr("id", "period"), "Peak period of the whole sea, s", seas.period, seas.period_step_s);
  d3.select("#sea-note").text(`Hs ${two(seas.hs_rms_m)} m root mean square. Shares of the region's area and the window's time, in per cent; directions are where waves come from, true.`);
}

function roseClasses(ends) {
  return [...ends.map((end, i) => (i === 0 ? `under ${end}` : `${ends[i - 1]}–${end}`)), `${ends.at(-1)} and over`];
}

// Five classes of height out of the eight of the scale.
const heightColour = (i, count) => sizeColour(look(), Math.round(1 + 6 * i / (count - 1)));

function rose(root, seas) {
  const width = 260, radius = 100;
  root.append("h3").text("Wave rose, Hs in m");
  root.append("div").attr("id", "rose-chart");
  const chart = svg(d3.select("#rose-chart"), width, 250, "Wave rose: share of seas by the direction they come from and their height")
    .append("g").attr("transform", `translate(${width / 2},125)`);
  const most = d3.max(seas.rose, (sector) => d3.sum(sector)) || 1;
  const r = d3.scaleLinear([0, most], [0, radius]);
  for (const share of r.ticks(3).filter((share) => share > 0)) {
    chart.append("circle").attr("r", r(share)).attr("fill", "none").attr("stroke", "var(--line)");
  }
  const turn = 2 * Math.PI / seas.rose.length;
  seas.rose.forEach((sector, k) => {
    let inner = 0;
    sector.forEach((share, i) => {
      const arc = d3.arc()({ innerRadius: r(inner), outerRadius: r(inner + share), startAngle: (k - 0.42) * turn, endAngle: (k + 0.42) * turn });
      inner += share;
      if (share > 0) chart.append("path").attr("d", arc).attr("fill", heightColour(i, sector.length)).attr("stroke", "var(--ink)").attr("stroke-width", 0.5)
        .append("title").text(`from ${k * 360 / seas.rose.length}°, Hs ${roseClasses(seas.rose_hs_m)[i]} m: ${share} %`);
    });
  });
  for (const share of r.ticks(3).filter((share) => share > 0)) {
    chart.append("text").attr("class", "quiet").attr("paint-order", "stroke").attr("stroke", "var(--panel)").attr("stroke-width", 3)
      .attr("x", r(share) * 0.38 + 2).attr("y", -r(share) * 0.92).text(`${share} %`);
  }
  for (const [k, name] of ["N", "E", "S", "W"].entries()) {
    const [x, y] = d3.pointRadial(k * Math.PI / 2, radius + 12);
    chart.append("text").attr("x", x).attr("y", y + 4).attr("text-anchor", "middle").text(name);
  }
  root.append("div").attr("class", "legend").attr("id", "rose-legend");
  legend(d3.select("#rose-legend"), roseClasses(seas.rose_hs_m).map((text, i) => ({ text, sign: filledSwatch(heightColour(i, seas.rose_hs_m.length + 1)) })));
}

function histogram(root, title, shares, step) {
  const width = 260, height = 190, left = 34, bottom = 160;
  root.append("h3").text(title);
  root.append("div").attr("id", `${root.attr("id")}-chart`);
  const chart = svg(d3.select(`#${root.attr("id")}-chart`), width, height, `Histogram: ${title}`);
  const first = Math.max(0, shares.findIndex((share) => share > 0) - 1);
  const x = d3.scaleLinear([first * step, shares.length * step], [left, width - 8]);
  const y = d3.scaleLinear([0, d3.max(shares) || 1], [bottom, 12]).nice(4);
  for (const share of y.ticks(4)) {
    chart.append("line").attr("x1", left).attr("x2", width - 8).attr("y1", y(share)).attr("y2", y(share)).attr("stroke", "var(--line)");
    chart.append("text").attr("class", "quiet").attr("x", left - 4).attr("y", y(share) + 4).attr("text-anchor", "end").text(`${share}%`);
  }
  shares.forEach((share, k) => {
    if (share > 0) chart.append("rect").attr("x", x(k * step) + 1).attr("width", Math.max(1, x(step) - x(0) - 2)).attr("y", y(share)).attr("height", bottom - y(share))
      .attr("fill", "var(--mark)").append("title").text(`${k * step} to ${(k + 1) * step}: ${share} %`);
  });
  for (const value of x.ticks(5).filter(Number.isInteger)) chart.append("text").attr("class", "quiet").attr("x", x(value)).attr("y", bottom + 16).attr("text-anchor", "middle").text(value);
}
