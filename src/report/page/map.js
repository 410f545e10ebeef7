"use strict";
// Regions and forecast cells on a Mercator chart whose middle is the middle of the regions, wherever 180 lies.

// Straight in longitude and latitude, as the regions are meant; a great circle would bulge.
function densified(ring) {
  return ring.flatMap((from, i) => {
    const to = ring[i + 1];
    if (!to) return [from];
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1]))));
    return d3.range(steps).map((k) => [from[0] + (to[0] - from[0]) * k / steps, from[1] + (to[1] - from[1]) * k / steps]);
  });
}

const polygonsOf = (outline) => (outline.type === "Polygon" ? [outline.coordinates] : outline.coordinates);

// d3 takes the left of a ring for its outside, GeoJSON for its inside.
function filled(outline) {
  const polygons = polygonsOf(outline).map((rings) => rings.map((ring) => densified(ring).reverse()));
  return { type: "MultiPolygon", coordinates: polygons };
}

// The outline without the cut along 180.
function edges(outline) {
  const atSeam = (point) => Math.abs(Math.abs(point[0]) - 180) < 1e-9;
  const pairs = polygonsOf(outline).flat().flatMap((ring) => d3.pairs(densified(ring)));
  return { type: "MultiLineString", coordinates: pairs.filter(([a, b]) => !(atSeam(a) && atSeam(b))) };
}

const outlines = regions.filter((region) => region.outline);
const corners = { type: "MultiPoint", coordinates: outlines.flatMap((region) => polygonsOf(region.outline).flat(2)) };

// The middle of the regions' longitudes as directions.
function middle() {
  const lon = corners.coordinates.map((point) => point[0] * Math.PI / 180);
  return Math.atan2(d3.sum(lon, Math.sin), d3.sum(lon, Math.cos)) * 180 / Math.PI;
}

const degrees = (value, ahead, behind) => `${Math.abs(value).toFixed(1)}°${value < 0 ? behind : ahead}`;
const position = (lat, lon) => `${degrees(lat, "N", "S")} ${degrees(lon, "E", "W")}`;

function cellText(cell) {
  const [lat, lon, mean, worst, tack, twa, stage, hs, tws] = cell;
  const sea = `${position(lat, lon)}: Hs ${hs} m, TWS ${tws} kn`;
  if (mean === null) return `${sea}; no factor, the wind lies outside the flat polar`;
  return `${sea}; mean factor ${mean}, worst ${worst} on ${tack} tack at TWA ${twa}, mostly ${words(stage)}`;
}

function drawMap() {
  const width = widthOf("#map", 900);
  const height = Math.round(Math.min(560, width * 0.72));
  const projection = d3.geoMercator().rotate([-middle(), 0]).fitExtent([[42, 14], [width - 14, height - 26]], corners)
    .clipExtent([[0, 0], [width, height]]);
  const path = d3.geoPath(projection);
  const root = svg("#map", width, height, `Map of ${names.length} regions, coloured by the share of speed that the sea leaves`);
  root.append("rect").attr("width", width).attr("height", height).attr("fill", "var(--sea)");
  const shown = audit.parts.map((part, index) => ({ part, index }))
    .filter(({ part }) => `${part.start}/${part.end}` === chosen.window);
  if (cells) drawCells(root, projection, path, shown);
  const colour = (region) => {
    const index = partIndex(region.name, chosen.window);
    return index < 0 || cells ? "none" : lossShade(meanFactor(index) ?? 1);
  };
  root.append("g").attr("class", "fills").selectAll("path").data(outlines).join("path")
    .attr("d", (region) => path(filled(region.outline))).attr("fill", colour).attr("data-region", (region) => region.name);
  root.append("path").attr("d", path(land)).attr("fill", "var(--land)").attr("stroke", "var(--faint)").attr("stroke-width", 0.7);
  drawGrid(root, projection, path, width, height);
  const named = root.append("g").attr("class", "outlines").selectAll("g").data(outlines).join("g");
  const isChosen = (region) => region.name === chosen.region;
  for (const [colour, extra] of [["var(--panel)", 2.5], ["var(--ink)", 0]]) {
    named.append("path").attr("d", (region) => path(edges(region.outline))).attr("fill", "none").attr("stroke", colour)
      .attr("stroke-width", (region) => (isChosen(region) ? 3 : 1) + extra);
  }
  named.append("text").attr("transform", (region) => `translate(${path.centroid(filled(region.outline))})`)
    .attr("text-anchor", "middle").attr("paint-order", "stroke").attr("stroke", "var(--panel)").attr("stroke-width", 4)
    .style("font-weight", (region) => (isChosen(region) ? 700 : 400)).text((region) => region.name);
  drawSailed(root, projection, path);
  root.on("click", (event) => choosePlace(event, projection));
  if (cells) layKeys(projection, shown);
  mapWords();
}

function drawGrid(root, projection, path, width, height) {
  const span = Math.abs(projection.invert([width, 0])[1] - projection.invert([0, height])[1]);
  const step = [0.5, 1, 2, 5, 10, 20].find((step) => span / step < 7) ?? 30;
  root.append("path").attr("d", path(d3.geoGraticule().step([step, step])())).attr("fill", "none")
    .attr("stroke", "var(--line)").attr("stroke-width", 0.6);
  for (const lat of d3.range(-80, 81, step)) {
    const y = projection([middle(), lat])[1];
    if (y > 8 && y < height - 24) root.append("text").attr("class", "quiet").attr("x", 4).attr("y", y - 2).text(`${Math.abs(lat)}°${lat < 0 ? "S" : "N"}`);
  }
  const pixels = Math.abs(projection.scale() * step * Math.PI / 180);
  const every = Math.ceil(52 / pixels);
  for (const lon of d3.range(-180, 180, step)) {
    const x = projection([lon, projection.invert([width / 2, height / 2])[1]])[0];
    const name = lon === -180 ? "180°" : `${Math.abs(lon)}°${lon < 0 ? "W" : "E"}`;
    if (x > 40 && x < width - 24 && (lon / step) % every === 0) root.append("text").attr("class", "quiet").attr("x", x).attr("y", height - 6).attr("text-anchor", "middle").text(name);
  }
}

// The outline of a cell.
const cellBox = (projection) => ([lat, lon]) => {
  const half = [cells.lon_step_deg / 2, cells.lat_step_deg / 2];
  const x = projection([lon, lat])[0];
  const top = projection([lon, Math.min(89, lat + half[1])])[1], bottom = projection([lon, Math.max(-89, lat - half[1])])[1];
  const wide = Math.abs(projection.scale() * half[0] * Math.PI / 180);
  return `M${(x - wide).toFixed(1)},${top.toFixed(1)}h${(2 * wide).toFixed(1)}V${bottom.toFixed(1)}h${(-2 * wide).toFixed(1)}Z`;
};

function drawCells(root, projection, path, shown) {
  // a cell counts with its area within the region, so no more of it is drawn
  const clips = root.append("defs").selectAll("clipPath").data(outlines).join("clipPath").attr("id", (_, k) => `region-${k}`);
  clips.append("path").attr("d", (region) => path(filled(region.outline)));
  const clip = ({ part }) => `url(#region-${outlines.findIndex((region) => region.name === part.region)})`;
  root.append("g").attr("class", "cells").selectAll("g").data(shown).join("g").attr("clip-path", clip)
    .selectAll("path").data(({ index }) => cellsOfPart.get(index)?.cells ?? []).join("path").attr("d", cellBox(projection))
    .attr("fill", (cell) => (cell[2] === null ? "var(--sea)" : lossShade(cell[2])))
    .attr("stroke", (cell) => (cell[2] === null ? "var(--faint)" : lossShade(cell[2]))).attr("stroke-width", 0.4)
    .on("pointerenter", (_, cell) => d3.select("#cell-readout").text(cellText(cell)))
    .append("title").text(cellText);
}

// A tap on a region chooses it.
function choosePlace(event, projection) {
  const place = projection.invert(d3.pointer(event));
  const region = outlines.find((region) => d3.geoContains(filled(region.outline), place));
  if (region) choose({ region: region.name });
}

function mapWords() {
  const ramp = d3.select("#map-legend").html("");
  ramp.append("span").text("factor 1.00, nothing taken");
  ramp.append("span").attr("class", "ramp").selectAll("i").data(d3.range(10)).join("i").style("background", (k) => shade(k / 9));
  ramp.append("span").text(`${(1 - greatestLoss).toFixed(2)} or less`);
  if (cells) {
    const blank = ramp.append("span");
    blank.append("i").attr("class", "swatch").style("background", "var(--sea)");
    blank.append("span").text("no factor: wind outside the flat polar");
  }
  const index = partIndex(chosen.region, chosen.window);
  const mean = meanFactor(index);
  d3.select("#cell-readout").text(mean === undefined ? `${chosen.region}: no polar for this window` :
    `${chosen.region}: mean factor in the winds that blow ${mean.toFixed(3)}.${cells ? " Point at a cell, tap it, or go there with the arrow keys, for its sea and its worst angle." : ""}`);
  d3.select("#map-note").text(mapNote());
}

function mapNote() {
  if (!cells) return "The result holds no cells.csv: each region is coloured by the mean factor of its polar, wind speeds weighed by how much they blow.";
  const notes = ["Each cell is coloured by its mean factor over the polar's angles on both tacks at the cell's own wind, over the times of the window. Parts of a region without cells are land, or have no sea in the forecast."];
  if (cells.block > 1) notes.push(`${cells.counted} cells and windows are more than this page holds: ${cells.block} by ${cells.block} neighbours are shown as one, with the mean factor by area and the worst of them; cells.csv has each.`);
  if (cells.outside > 0) notes.push(`${cells.outside} rows of cells.csv lie outside the regions and windows of the audit and are not shown.`);
  return notes.join(" ");
}
