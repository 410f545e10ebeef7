// Arrows of waves and wind: they point to where it goes, and are as long as it is high or strong.

// A wave of 4 m and a wind of 34 kn make a whole arrow.
const WHOLE = { waves: 4, wind: 34 };
// How long that is, on a wide chart and on a phone's.
export const wholeArrow = (width) => (width < 500 ? 16 : 24);
const VALUES = { waves: (cell) => [cell.hs, cell.waveFrom], wind: (cell) => [cell.tws, cell.windFrom] };

export const arrowLength = (kind, value, whole) => Math.max(7, Math.min(1.6, value / WHOLE[kind]) * whole);

// An arrow about its middle, pointing down: towards the south, where a northerly goes.
export function arrowPath(length) {
  const half = length / 2, barb = Math.min(6, length * 0.4);
  return `M0,${-half}V${half}M${-barb * 0.7},${half - barb}L0,${half}L${barb * 0.7},${half - barb}`;
}

// One arrow in each square of the chart that holds a cell, that of the cell nearest its middle.
export function thinned(projection, cells, whole) {
  const squares = new Map(), side = whole * 1.3;
  for (const cell of cells) {
    const [x, y] = projection([cell.lon, cell.lat]);
    const key = `${Math.floor(x / side)},${Math.floor(y / side)}`;
    const off = Math.hypot(x / side % 1 - 0.5, y / side % 1 - 0.5);
    if (!squares.has(key) || off < squares.get(key).off) squares.set(key, { cell, x, y, off });
  }
  return [...squares.values()];
}

export function drawArrows(root, projection, cells, kind, whole) {
  if (kind === "none") return;
  const placed = thinned(projection, cells, whole).filter(({ cell }) => VALUES[kind](cell)[1] !== null && VALUES[kind](cell)[0] > 0);
  const group = root.append("g").attr("class", "arrows").attr("pointer-events", "none");
  for (const [colour, width] of [["var(--halo)", 4], ["var(--ink)", 1.6]]) {
    group.append("g").attr("fill", "none").attr("stroke", colour).attr("stroke-width", width).attr("stroke-linecap", "round")
      .selectAll("path").data(placed).join("path").attr("d", ({ cell }) => arrowPath(arrowLength(kind, VALUES[kind](cell)[0], whole)))
      .attr("transform", ({ cell, x, y }) => `translate(${x.toFixed(1)},${y.toFixed(1)}) rotate(${VALUES[kind](cell)[1]})`);
  }
}

export const arrowKey = (kind) => ({ waves: "arrow: where waves go; this long 4 m", wind: "arrow: where the wind goes; this long 34 kn" })[kind];
