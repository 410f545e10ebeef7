// Regions and forecast cells on the chart, with the layer and the arrows that are asked for.
import { cells, land, manifest, partIndex, polarWinds } from "./data.js";
import { meansAt, names, rank } from "./means.js";
import { choose, chosen } from "./state.js";
import { colourOf, drawRamp, filledSwatch, legend, svg, swatch, widthOf } from "./looks.js";
import { drawGrid, drawLand, drawScaleBar, edges, filled, mercator, milePixels, outlines } from "./chart_base.js";
import { cellBox, cellFill, cellsInWindow, cellWords, unsailed } from "./map_cells.js";
import { arrowKey, arrowLength, arrowPath, drawArrows, wholeArrow } from "./arrows.js";
import { drawSailed } from "./sailed.js";
import { layKeys } from "./keys.js";
import { two } from "./words.js";

// A point without waves counts as land within so many miles of the coast and half its cell.
const COAST_MILES = 20;
// Of more regions than these only the first of the ranking are numbered.
const MANY = 40, FIRST = 12;
const LAYER_WORDS = { factor: "the share of her speed that is left", lost: "the knots that she loses", hs: "wave height", wind: "wind" };

// Without cells a region is coloured as a whole: what the means tell, and no more.
function regionValue(region) {
  const means = meansAt(region.name, chosen.window);
  if (!means || means.lost === null) return null;
  return { factor: means.factor === null ? null : 100 * (1 - means.factor), lost: means.lost }[chosen.layer] ?? null;
}

function drawRegions(root, path) {
  const fill = (region) => {
    if (partIndex(region.name, chosen.window) < 0) return "url(#missing)";
    const value = regionValue(region);
    return cells ? "url(#missing)" : value === null ? "var(--sea)" : colourOf(chosen.layer, value);
  };
  root.append("g").attr("class", "fills").selectAll("path").data(outlines).join("path").attr("d", (region) => path(filled(region.outline)))
    .attr("fill", fill).attr("data-region", (region) => region.name);
}

// The strip in which points without waves are taken for land; beyond it they are missing.
function drawCoast(root, path, projection, width, height) {
  const wide = (COAST_MILES + 30 * Math.max(cells.lat_step_deg, cells.lon_step_deg)) * milePixels(projection, width, height);
  root.append("path").attr("class", "coast").attr("d", path(land)).attr("fill", "none").attr("stroke", "var(--coast)").attr("stroke-width", 2 * wide)
    .attr("stroke-linejoin", "round").attr("clip-path", "url(#all-regions)");
}

function drawCells(root, projection, path, shown, width, height) {
  // a cell counts with its area within the region, so no more of it is drawn
  const defs = root.append("defs");
  defs.append("clipPath").attr("id", "all-regions").selectAll("path").data(outlines).join("path").attr("d", (region) => path(filled(region.outline)));
  defs.selectAll("clipPath.one").data(outlines).join("clipPath").attr("class", "one").attr("id", (_, k) => `region-${k}`)
    .append("path").attr("d", (region) => path(filled(region.outline)));
  drawCoast(root, path, projection, width, height);
  const clip = ({ part }) => `url(#region-${outlines.findIndex((region) => region.name === part.region)})`;
  const fill = cellFill(chosen.layer), box = cellBox(projection);
  root.append("g").attr("class", "cells").selectAll("g").data(shown).join("g").attr("clip-path", clip)
    .selectAll("path").data((of) => of.cells).join("path").attr("d", box).attr("fill", fill)
    .attr("stroke", (cell) => (fill(cell).startsWith("url") ? "none" : fill(cell))).attr("stroke-width", 0.4)
    .on("pointerenter", (_, cell) => d3.select("#cell-readout").text(cellWords(cell)));
}

// Names where they fit, else the place in the ranking, else nothing; the chosen one is named in any case.
function drawNames(root, path) {
  const isChosen = (region) => region.name === chosen.region;
  const named = root.append("g").attr("class", "outlines").selectAll("g").data(d3.sort(outlines, isChosen)).join("g");
  for (const [colour, extra] of [["var(--panel)", 2.5], ["var(--ink)", 0]]) {
    named.append("path").attr("d", (region) => path(edges(region.outline))).attr("fill", "none").attr("stroke", colour).attr("stroke-width", (region) => (isChosen(region) ? 3 : 1) + extra);
  }
  const label = (region) => {
    if (outlines.length > MANY && rank(region.name) > FIRST && !isChosen(region)) return "";
    const [[left], [right]] = path.bounds(filled(region.outline)), name = `${rank(region.name)} ${region.name}`;
    return isChosen(region) || right - left > 6.5 * name.length ? name : right - left > 8 * String(rank(region.name)).length + 4 ? String(rank(region.name)) : "";
  };
  root.append("g").attr("class", "names").attr("pointer-events", "none").selectAll("text").data(d3.sort(outlines, isChosen)).join("text")
    .attr("class", "halo").attr("transform", (region) => `translate(${path.centroid(filled(region.outline))})`)
    .attr("text-anchor", "middle").style("font-weight", (region) => (isChosen(region) ? 700 : 400)).text(label);
}

export function drawMap() {
  const root = d3.select("#map"), width = widthOf(root, 900), height = Math.round(Math.min(560, width * 0.78));
  const projection = mercator(width, height), path = d3.geoPath(projection);
  const chart = svg(root, width, height, `Map of ${names.length} regions, coloured by ${LAYER_WORDS[chosen.layer]}`);
  chart.append("rect").attr("width", width).attr("height", height).attr("fill", "var(--sea)");
  const shown = cells ? cellsInWindow(chosen.window) : [];
  drawRegions(chart, path);
  if (cells) drawCells(chart, projection, path, shown, width, height);
  drawLand(chart, path);
  drawGrid(chart, projection, path, width, height);
  drawArrows(chart, projection, shown.flatMap((of) => of.cells), chosen.arrows, wholeArrow(width));
  drawNames(chart, path);
  drawSailed(chart, projection, path);
  drawScaleBar(chart, projection, width, height);
  chart.on("click", (event) => choosePlace(event, projection));
  if (cells) layKeys(projection, shown);
  mapLegend(shown, width);
  mapWords();
}

// A tap on a region chooses it.
function choosePlace(event, projection) {
  const place = projection.invert(d3.pointer(event));
  const region = outlines.find((region) => d3.geoContains(filled(region.outline), place));
  if (region) choose({ region: region.name });
}

function mapLegend(shown, width) {
  const root = d3.select("#map-legend");
  root.selectAll("*").remove();
  drawRamp(root, chosen.layer, ["factor", "lost"].includes(chosen.layer));
  const kinds = new Set(shown.flatMap((of) => of.cells.map(unsailed)));
  const derated = ["factor", "lost"].includes(chosen.layer);
  const signs = [
    derated && kinds.has("calm") && { text: `calm: below the polar's ${polarWinds.least} kn`, sign: filledSwatch("url(#calm)") },
    derated && kinds.has("gale") && { text: `gale: above the polar's ${polarWinds.most} kn`, sign: filledSwatch("url(#gale)") },
    derated && kinds.has("no-speed") && { text: "no speed in the polar", sign: filledSwatch("url(#no-speed)") },
    { text: "no forecast", sign: filledSwatch("url(#missing)") },
    cells && { text: "coast: counts as land", sign: filledSwatch("var(--coast)") },
    { text: "land", sign: filledSwatch("var(--land)") },
    cells && chosen.arrows !== "none" && { text: arrowKey(chosen.arrows), sign: swatch((box) => box.attr("viewBox", "0 0 34 12").attr("class", "swatch long").append("path")
      .attr("d", arrowPath(arrowLength(chosen.arrows, chosen.arrows === "waves" ? 4 : 34, wholeArrow(width)))).attr("transform", "translate(17,6) rotate(-90)")
      .attr("stroke", "var(--ink)").attr("stroke-width", 1.6).attr("fill", "none")) },
  ].filter(Boolean);
  legend(root.append("div").attr("class", "legend"), signs);
}

function mapWords() {
  const means = meansAt(chosen.region, chosen.window);
  d3.select("#cell-readout").text(!means || means.lost === null ? `${chosen.region}: no polar for this window, the forecast holds no usable sea.` :
    `${chosen.region}: keeps ${means.factor.toFixed(2)} of her speed in the winds that blow, loses ${two(means.lost)} kn.${cells ? " Point at a cell, tap it, or go there with the arrow keys." : ""}`);
  d3.select("#map-note").text(mapNote());
}

function mapNote() {
  if (!cells) {
    return ["hs", "wind"].includes(chosen.layer) ? "The result holds no cells.csv, so there are no heights or winds to colour; the regions' means stand in the sentences above." :
      "The result holds no cells.csv: each region is coloured by the mean of its polar, wind speeds weighed by how much they blow.";
  }
  const notes = ["Each cell: mean over the polar's angles on both tacks at the cell's own wind, over the times of the window, by mean forces, without surge."];
  if (cells.block > 1) notes.push(`${cells.counted} cells and windows are more than this page holds: ${cells.block} by ${cells.block} neighbours are shown as one, with the mean factor by area and the worst of them; cells.csv has each.`);
  if (cells.outside > 0) notes.push(`${cells.outside} rows of cells.csv lie outside the regions and windows of the audit and are not shown.`);
  if ((manifest.joined ?? []).length > 0) notes.push("Neighbouring tiles and hours that are alike share a polar.");
  return notes.join(" ");
}
