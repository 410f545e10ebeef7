"use strict";
// Polar diagram and stages of the chosen region, window and TWS: port tack left, starboard tack right.

const atWind = () => chosenRows().filter((cell) => cell.tws_kn === chosen.tws).sort((a, b) => signed(a) - signed(b));

function drawPolar() {
  const width = widthOf("#polar", 560), height = Math.round(width * 0.92);
  const centre = [width / 2, height * 0.48], radius = Math.min(width / 2, height / 2) - 26;
  const rows = atWind();
  const most = d3.max(rows, (cell) => Math.max(cell.flat_kn, cell.p90_kn)) || 1;
  const r = d3.scaleLinear([0, most], [0, radius]).nice(4);
  r.range([0, radius]);
  const root = svg("#polar", width, height, `Polar diagram at TWS ${chosen.tws} kn: flat and corrected speed by TWA, with the P10 to P90 band`)
    .append("g").attr("transform", `translate(${centre})`);
  const angle = (cell) => signed(cell) * Math.PI / 180;
  for (const kn of r.ticks(4).filter((kn) => kn > 0)) {
    root.append("circle").attr("r", r(kn)).attr("fill", "none").attr("stroke", "var(--line)");
    root.append("text").attr("class", "quiet").attr("x", 3).attr("y", -r(kn) - 2).text(`${kn} kn`);
  }
  for (const twa of d3.range(-150, 181, 30)) {
    const [x, y] = d3.pointRadial(twa * Math.PI / 180, radius);
    root.append("line").attr("x2", x).attr("y2", y).attr("stroke", "var(--line)");
    const [tx, ty] = d3.pointRadial(twa * Math.PI / 180, radius + 14);
    if (twa !== 0) root.append("text").attr("class", "quiet").attr("x", tx).attr("y", ty + 4).attr("text-anchor", "middle").text(`${Math.abs(twa)}°`);
  }
  root.append("text").attr("x", -radius).attr("y", -radius - 2).text("port");
  root.append("text").attr("x", radius).attr("y", -radius - 2).attr("text-anchor", "end").text("starboard");
  for (const tack of tacks) {
    const of = rows.filter((cell) => cell.tack === tack);
    const line = (value) => d3.lineRadial().angle(angle).radius((cell) => r(value(cell)))(of);
    root.append("path").attr("class", "band").attr("fill", "var(--band)")
      .attr("d", d3.areaRadial().angle(angle).innerRadius((cell) => r(cell.p10_kn)).outerRadius((cell) => r(cell.p90_kn))(of));
    root.append("path").attr("class", "flat").attr("fill", "none").attr("stroke", "var(--ink)").attr("stroke-dasharray", "5 4").attr("stroke-width", 1.5).attr("d", line((cell) => cell.flat_kn));
    root.append("path").attr("class", "corrected").attr("fill", "none").attr("stroke", "var(--mark)").attr("stroke-width", 2.5).attr("d", line((cell) => cell.corrected_kn));
  }
  root.selectAll("circle.cell").data(rows).join("circle").attr("class", "cell").attr("r", (cell) => (cell === chosenCell() ? 6 : 3))
    .attr("transform", (cell) => `translate(${d3.pointRadial(angle(cell), r(cell.corrected_kn))})`)
    .attr("fill", "var(--mark)").attr("stroke", (cell) => (cell === chosenCell() ? "var(--ink)" : "none")).attr("stroke-width", 2).style("cursor", "pointer")
    .on("click", (_, cell) => choose({ twa: cell.twa_deg, tack: cell.tack }))
    .append("title").text((cell) => `${cell.tack} ${cell.twa_deg}°: flat ${speed(cell.flat_kn)}, corrected ${speed(cell.corrected_kn)} kn`);
  legend("#polar-legend", [
    { text: `flat, TWS ${chosen.tws} kn`, style: "height:0;border:0;border-top:2px dashed var(--ink)" },
    { text: "corrected", style: "height:0;border:0;border-top:3px solid var(--mark)" },
    { text: "P10 to P90 over the seas", style: "background:var(--band)" },
  ]);
}

// Knots that each stage takes (below 0: gives): the stage factors multiply, so each acts on what the ones before left.
function taken(cell) {
  let left = cell.flat_kn;
  return Object.fromEntries(stages.map((stage) => {
    const before = left;
    left *= cell[stage] ?? 1;
    return [stage, before - left];
  }));
}

function drawStages() {
  const width = widthOf("#stages", 620), height = 300, margin = { left: 40, right: 8, top: 24, bottom: 40 };
  const rows = atWind();
  const bars = rows.map((cell) => ({ cell, ...taken(cell) }));
  const series = d3.stack().keys(stages).offset(d3.stackOffsetDiverging)(bars);
  const x = d3.scaleBand(rows.map(signed), [margin.left, width - margin.right]).padding(0.15);
  const low = Math.min(0, d3.min(series.flat(), (bar) => bar[0]) ?? 0);
  const y = d3.scaleLinear([low, Math.max(0.1, d3.max(series.flat(), (bar) => bar[1]) ?? 0)], [height - margin.bottom, margin.top]).nice();
  const root = svg("#stages", width, height, `Knots that each stage takes at TWS ${chosen.tws} kn by TWA`);
  for (const kn of y.ticks(5)) {
    root.append("line").attr("x1", margin.left).attr("x2", width - margin.right).attr("y1", y(kn)).attr("y2", y(kn)).attr("stroke", "var(--line)");
    root.append("text").attr("class", "quiet").attr("x", margin.left - 6).attr("y", y(kn) + 4).attr("text-anchor", "end").text(y.tickFormat(5)(kn));
  }
  root.append("text").attr("x", 4).attr("y", 14).text("kn taken");
  root.selectAll("g.stage").data(series).join("g").attr("class", "stage").attr("fill", (_, i) => stageShade(i))
    .attr("stroke", "var(--ink)").attr("stroke-width", 0.5)
    .selectAll("rect").data((stack) => stack.map((bar) => ({ bar, stage: stack.key }))).join("rect")
    .attr("x", ({ bar }) => x(signed(bar.data.cell))).attr("width", x.bandwidth())
    .attr("y", ({ bar }) => y(bar[1])).attr("height", ({ bar }) => Math.max(0, y(bar[0]) - y(bar[1])))
    .append("title").text(({ bar, stage }) => `${bar.data.cell.tack} TWA ${bar.data.cell.twa_deg}: ${words(stage)} ${bar.data[stage] < 0 ? "gives" : "takes"} ${Math.abs(bar.data[stage]).toFixed(2)} kn`);
  const every = Math.ceil(rows.length * 26 / width);
  for (const cell of rows.filter((cell, i) => (cell.tack === "port" ? rows.filter((other) => other.tack === "port").length - 1 - i : i - rows.filter((other) => other.tack === "port").length) % every === 0)) {
    root.append("text").attr("class", "quiet").attr("x", x(signed(cell)) + x.bandwidth() / 2).attr("y", height - 24).attr("text-anchor", "middle").text(cell.twa_deg);
  }
  root.append("text").attr("x", margin.left).attr("y", height - 6).text("port tack, TWA");
  root.append("text").attr("x", width - margin.right).attr("y", height - 6).attr("text-anchor", "end").text("starboard tack, TWA");
  legend("#stages-legend", stages.map((stage, i) => ({ text: words(stage), style: `background:${stageShade(i)}` })));
}
