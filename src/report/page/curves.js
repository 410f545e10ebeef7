// Polar curves of the chosen wind: port tack left, starboard tack right.
import { signed, tacksSailed } from "./data.js";
import { atWind, choose, chosen, isChosen } from "./state.js";
import { filledSwatch, legend, lineSwatch, svg, swatch, widthOf } from "./looks.js";
import { percent, speed } from "./words.js";

const angleOf = (cell) => signed(cell) * Math.PI / 180;

function frame(chart, r, radius) {
  for (const kn of r.ticks(4).filter((kn) => kn > 0)) {
    chart.append("circle").attr("r", r(kn)).attr("fill", "none").attr("stroke", "var(--line)");
    chart.append("text").attr("class", "quiet halo").attr("x", 3).attr("y", -r(kn) + 12).text(`${kn} kn`);
  }
  for (const twa of d3.range(-150, 181, 30)) {
    const [x, y] = d3.pointRadial(twa * Math.PI / 180, radius), [tx, ty] = d3.pointRadial(twa * Math.PI / 180, radius + 14);
    chart.append("line").attr("x2", x).attr("y2", y).attr("stroke", "var(--line)");
    if (twa !== 0) chart.append("text").attr("class", "quiet").attr("x", tx).attr("y", ty + 4).attr("text-anchor", "middle").text(`${Math.abs(twa)}°`);
  }
  chart.append("text").attr("x", -radius - 10).attr("y", -radius - 6).text("port");
  chart.append("text").attr("x", radius + 10).attr("y", -radius - 6).attr("text-anchor", "end").text("starboard");
}

function curvesOfTack(chart, r, cells) {
  const line = (value) => d3.lineRadial().angle(angleOf).radius((cell) => r(value(cell)))(cells);
  const add = (name, value) => chart.append("path").attr("class", name).attr("fill", "none").attr("d", line(value));
  chart.append("path").attr("class", "band").attr("fill", "var(--band)")
    .attr("d", d3.areaRadial().angle(angleOf).innerRadius((cell) => r(cell.p10_kn)).outerRadius((cell) => r(cell.p90_kn))(cells));
  add("flat", (cell) => cell.flat_kn).attr("stroke", "var(--ink)").attr("stroke-dasharray", "5 4").attr("stroke-width", 1.5);
  add("median", (cell) => cell.p50_kn).attr("stroke", "var(--mark)").attr("stroke-dasharray", "1.5 3").attr("stroke-width", 1.6);
  add("corrected", (cell) => cell.corrected_kn).attr("stroke", "var(--mark)").attr("stroke-width", 2.5);
}

// How far her speed swings about its mean, a standard deviation either way.
function swings(chart, r, cells) {
  const swinging = cells.filter((cell) => cell.speed_sd_kn > 0 && cell.corrected_kn > 0);
  chart.selectAll("path.swing").data(swinging).join("path").attr("class", "swing").attr("stroke", "var(--mark)").attr("stroke-width", 1.2).attr("fill", "none")
    .attr("d", (cell) => {
      const end = (kn) => d3.pointRadial(angleOf(cell), r(Math.max(0, kn)));
      return `M${end(cell.corrected_kn - cell.speed_sd_kn)}L${end(cell.corrected_kn + cell.speed_sd_kn)}`;
    });
}

function stops(chart, r, cells) {
  const stopped = cells.filter((cell) => cell.stopped_share >= 0.005);
  const mark = chart.selectAll("g.stop").data(stopped).join("g").attr("class", "stop")
    .attr("transform", (cell) => `translate(${d3.pointRadial(angleOf(cell), r(cell.corrected_kn))})`);
  mark.append("rect").attr("x", -4.5).attr("y", -4.5).attr("width", 9).attr("height", 9).attr("fill", "var(--panel)").attr("stroke", "var(--ink)").attr("stroke-width", 2);
  mark.append("text").attr("class", "halo").attr("x", (cell) => (cell.tack === "port" ? -8 : 8)).attr("y", 4)
    .attr("text-anchor", (cell) => (cell.tack === "port" ? "end" : "start")).text((cell) => percent(cell.stopped_share));
}

export function drawCurves() {
  const root = d3.select("#polar"), cells = atWind().toSorted((a, b) => signed(a) - signed(b));
  d3.select("#polar-title").text(`Polar curves at ${chosen.tws ?? "–"} kn of wind`);
  root.selectAll("p").remove();
  if (cells.length === 0) {
    root.selectAll("svg.drawn").remove();
    root.append("p").text("No polar for this region and window.");
    d3.select("#polar-legend").selectAll("*").remove();
    return;
  }
  const width = widthOf(root, 520), height = Math.round(width * 0.95), radius = Math.min(width, height) / 2 - 30;
  const most = d3.max(cells, (cell) => Math.max(cell.flat_kn, cell.p90_kn, cell.corrected_kn + (cell.speed_sd_kn ?? 0))) || 1;
  const r = d3.scaleLinear([0, most], [0, radius]).nice(4);
  const chart = svg(root, width, height, `Polar diagram at TWS ${chosen.tws} kn: flat and corrected speed by TWA, with the P10 to P90 band, the median and where the sea stops her`)
    .append("g").attr("transform", `translate(${width / 2},${height / 2 + 4})`);
  frame(chart, r, radius);
  for (const tack of tacksSailed) curvesOfTack(chart, r, cells.filter((cell) => cell.tack === tack));
  swings(chart, r, cells);
  chart.selectAll("circle.cell").data(cells).join("circle").attr("class", "cell").attr("r", (cell) => (isChosen(cell) ? 6 : 3))
    .attr("transform", (cell) => `translate(${d3.pointRadial(angleOf(cell), r(cell.corrected_kn))})`)
    .attr("fill", "var(--mark)").attr("stroke", (cell) => (isChosen(cell) ? "var(--ink)" : "none")).attr("stroke-width", 2)
    .on("click", (_, cell) => choose({ twa: cell.twa_deg }))
    .append("title").text((cell) => `${cell.tack} ${cell.twa_deg}°: flat ${speed(cell.flat_kn)}, corrected ${speed(cell.corrected_kn)} kn`);
  stops(chart, r, cells);
  const swinging = cells.some((cell) => cell.speed_sd_kn > 0), stopping = cells.some((cell) => cell.stopped_share >= 0.005);
  legend(d3.select("#polar-legend"), [
    { text: "flat water", sign: lineSwatch("var(--ink)", 1.5, "5 4") },
    { text: "corrected: mean over the sea", sign: lineSwatch("var(--mark)", 3) },
    { text: "P50, half of the sea is slower", sign: lineSwatch("var(--mark)", 2, "1.5 3") },
    { text: "P10 to P90", sign: filledSwatch("var(--band)") },
    ...(swinging ? [{ text: "spokes: how her speed swings in a sea, one standard deviation", sign: lineSwatch("var(--mark)", 1.2) }] : []),
    ...(stopping ? [{ text: "square: share of the sea that stops her", sign: swatch((box) => box.append("rect").attr("x", 5).attr("y", 2).attr("width", 8).attr("height", 8)
      .attr("fill", "var(--panel)").attr("stroke", "var(--ink)").attr("stroke-width", 2)) }] : []),
  ]);
}
