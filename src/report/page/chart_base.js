// The map's ground: a Mercator chart whose middle is the middle of the regions, wherever 180 lies; land, grid, scale bar.
import { land, result } from "./data.js";
import { latitude, longitude } from "./words.js";

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
export function filled(outline) {
  const polygons = polygonsOf(outline).map((rings) => rings.map((ring) => densified(ring).reverse()));
  return { type: "MultiPolygon", coordinates: polygons };
}

// The outline without the cut along 180.
export function edges(outline) {
  const atSeam = (point) => Math.abs(Math.abs(point[0]) - 180) < 1e-9;
  const pairs = polygonsOf(outline).flat().flatMap((ring) => d3.pairs(densified(ring)));
  return { type: "MultiLineString", coordinates: pairs.filter(([a, b]) => !(atSeam(a) && atSeam(b))) };
}

export const outlines = result.regions.filter((region) => region.outline);
const corners = { type: "MultiPoint", coordinates: outlines.flatMap((region) => polygonsOf(region.outline).flat(2)) };

// The middle of the regions' longitudes as directions.
function middle() {
  const lon = corners.coordinates.map((point) => point[0] * Math.PI / 180);
  return Math.atan2(d3.sum(lon, Math.sin), d3.sum(lon, Math.cos)) * 180 / Math.PI;
}

export function mercator(width, height) {
  return d3.geoMercator().rotate([-middle(), 0]).fitExtent([[44, 14], [width - 14, height - 28]], corners).clipExtent([[0, 0], [width, height]]);
}

// Pixels of a nautical mile at the chart's middle.
export function milePixels(projection, width, height) {
  const lat = projection.invert([width / 2, height / 2])[1] * Math.PI / 180;
  return projection.scale() / 3437.75 / Math.cos(lat);
}

export function drawLand(root, path) {
  root.append("path").attr("class", "land").attr("d", path(land)).attr("fill", "var(--land)").attr("stroke", "var(--faint)").attr("stroke-width", 0.7);
}

export function drawGrid(root, projection, path, width, height) {
  const span = Math.abs(projection.invert([width, 0])[1] - projection.invert([0, height])[1]);
  const step = [0.5, 1, 2, 5, 10, 20].find((step) => span / step < 7) ?? 30;
  root.append("path").attr("d", path(d3.geoGraticule().step([step, step])())).attr("fill", "none").attr("stroke", "var(--line)").attr("stroke-width", 0.6);
  for (const lat of d3.range(-80, 81, step)) {
    const y = projection([middle(), lat])[1];
    if (y > 14 && y < height - 40) root.append("text").attr("class", "quiet halo").attr("x", 4).attr("y", y - 2).text(step < 1 ? `${Math.abs(lat)}°${lat < 0 ? "S" : "N"}` : latitude(lat));
  }
  const every = Math.ceil(52 / Math.abs(projection.scale() * step * Math.PI / 180));
  for (const lon of d3.range(-180, 180, step)) {
    const x = projection([lon, projection.invert([width / 2, height / 2])[1]])[0];
    if (x > 40 && x < width - 24 && (lon / step) % every === 0) {
      root.append("text").attr("class", "quiet halo").attr("x", x).attr("y", height - 6).attr("text-anchor", "middle").text(step < 1 ? `${Math.abs(lon)}°${lon < 0 ? "W" : "E"}` : longitude(lon));
    }
  }
}

// A bar of whole nautical miles; Mercator stretches away from the middle, for which it holds.
export function drawScaleBar(root, projection, width, height) {
  const pixels = milePixels(projection, width, height);
  const miles = [5, 10, 20, 50, 100, 200, 500, 1000, 2000].findLast((miles) => miles * pixels < width * 0.28) ?? 5;
  const bar = root.append("g").attr("class", "scale-bar").attr("transform", `translate(${width - 12 - miles * pixels},${height - 26})`);
  for (const [colour, wide] of [["var(--panel)", 5], ["var(--ink)", 2]]) {
    bar.append("path").attr("d", `M0,-5V0H${(miles * pixels).toFixed(1)}V-5`).attr("fill", "none").attr("stroke", colour).attr("stroke-width", wide);
  }
  bar.append("text").attr("class", "halo").attr("x", miles * pixels / 2).attr("y", -5).attr("text-anchor", "middle").text(`${miles} nmi`);
}
