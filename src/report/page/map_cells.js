// Forecast cells as a layer of the map: what is coloured, what is patterned, and what a cell says.
import { cells, cellsOf, polarWinds, windowOf, audit } from "./data.js";
import { colourOf } from "./looks.js";
import { compass, position, two, words } from "./words.js";

// A cell of the page's data by name.
export function cellOf([lat, lon, factor, lost, worst, tack, twa, stage, hs, period, waveFrom, tws, windFrom]) {
  return { lat, lon, factor, lost, worst, tack, twa, stage, hs, period, waveFrom, tws, windFrom };
}

// What each layer colours; null where it has nothing to say.
export const LAYER_VALUES = {
  factor: (cell) => (cell.factor === null ? null : 100 * (1 - cell.factor)),
  lost: (cell) => cell.lost,
  hs: (cell) => cell.hs,
  wind: (cell) => cell.tws,
};

// Why a cell has no factor: the wind is below the polar's first column, above its last, or between.
// winds come to a tenth of a knot
const ROUNDED = 0.05;
export const unsailed = (cell) => (cell.factor !== null ? null : cell.tws <= polarWinds.least + ROUNDED ? "calm" : cell.tws >= polarWinds.most - ROUNDED ? "gale" : "no-speed");

export function cellWords(cell) {
  const waves = cell.waveFrom === null ? "flat" : `${two(cell.hs)} m, ${two(cell.period)} s from ${compass(cell.waveFrom)} (${cell.waveFrom}°)`;
  const wind = cell.windFrom === null ? `${two(cell.tws)} kn` : `${two(cell.tws)} kn from ${compass(cell.windFrom)} (${cell.windFrom}°)`;
  const sea = `${position(cell.lat, cell.lon)}: waves ${waves}; wind ${wind}`;
  const why = { calm: `calm, below the polar's ${polarWinds.least} kn`, gale: `gale, above the polar's ${polarWinds.most} kn`, "no-speed": "no speed in the polar" }[unsailed(cell)];
  if (why) return `${sea}; ${why}: not derated.`;
  return `${sea}; she keeps ${cell.factor.toFixed(2)} of her speed, loses ${two(cell.lost)} kn; worst ${cell.worst.toFixed(2)} on ${cells.tacks[cell.tack]} tack at TWA ${cell.twa}, mostly ${words(cells.stages[cell.stage])}.`;
}

// The cells of a window with their regions.
export function cellsInWindow(window) {
  return audit.parts.flatMap((part, index) => (windowOf(part) === window ? [{ part, index, cells: (cellsOf(index)?.cells ?? []).map(cellOf) }] : []));
}

// The outline of a cell.
export const cellBox = (projection) => ({ lat, lon }) => {
  const half = [cells.lon_step_deg / 2, cells.lat_step_deg / 2];
  const x = projection([lon, lat])[0];
  const top = projection([lon, Math.min(89, lat + half[1])])[1], bottom = projection([lon, Math.max(-89, lat - half[1])])[1];
  const wide = Math.abs(projection.scale() * half[0] * Math.PI / 180);
  return `M${(x - wide).toFixed(1)},${top.toFixed(1)}h${(2 * wide).toFixed(1)}V${bottom.toFixed(1)}h${(-2 * wide).toFixed(1)}Z`;
};

export function cellFill(layer) {
  return (cell) => {
    const value = LAYER_VALUES[layer](cell);
    return value === null ? `url(#${unsailed(cell)})` : colourOf(layer, value);
  };
}
