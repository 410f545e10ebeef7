// A passage on the map: the way, with times, where she is when the window opens and closes, and when she arrives.
import { result } from "./data.js";
import { chosen } from "./state.js";
import { fileName, moment, wholeMoment } from "./words.js";

const sailed = result.sailed;
// Marks along the way at so many hours, as few as this.
const HOURS = [3, 6, 12, 24, 48, 96, 240];
const MOST_MARKS = 12;
// The room that a time takes on the chart, pixels.
const ROOM = { width: 98, height: 14 };

// The place on a track at a time, between its points; null before and after.
export function placeAt(points, time) {
  const next = points.findIndex((point) => point[2] >= time);
  if (next < 0 || time < points[0][2]) return null;
  if (next === 0) return points[0];
  const [from, to] = [points[next - 1], points[next]];
  return d3.geoInterpolate(from, to)(to[2] === from[2] ? 1 : (time - from[2]) / (to[2] - from[2]));
}

function timesAlong(points) {
  const [start, end] = [points[0][2], points.at(-1)[2]];
  const step = 3_600_000 * (HOURS.find((hours) => (end - start) / 3_600_000 / hours <= MOST_MARKS) ?? 240);
  return [start, end, ...d3.range(Math.ceil(start / step) * step, end, step).filter((time) => time > start)];
}

// Departure and arrival have their times in any case, marks between where there is room above or below the way.
function drawTimes(group, projection, points) {
  const taken = [];
  const apart = ([x, y]) => taken.every(([a, b]) => Math.abs(x - a) > ROOM.width || Math.abs(y - b) > ROOM.height);
  for (const [k, time] of timesAlong(points).entries()) {
    const [lon, lat] = placeAt(points, time), [x, y] = projection([lon, lat]);
    group.append("circle").attr("class", "hour").attr("cx", x).attr("cy", y).attr("r", 2.6).attr("fill", "var(--ink)");
    const spot = [[x, y - 10], [x, y + 19], ...(k < 2 ? [[x, y - 24], [x, y + 33]] : [])].find(apart);
    if (!spot) continue;
    taken.push(spot);
    group.append("text").attr("class", "halo time").attr("x", spot[0]).attr("y", spot[1]).attr("text-anchor", "middle").text(moment(new Date(time)));
  }
}

export function drawSailed(root, projection, path) {
  if (!sailed) return;
  const [opens, closes] = chosen.window.split("/").map((time) => new Date(time).getTime());
  const group = root.append("g").attr("class", "sailed").attr("pointer-events", "none");
  for (const track of sailed.tracks.filter((track) => track.points.length > 0)) {
    const line = { type: "LineString", coordinates: track.points.map(([lon, lat]) => [lon, lat]) };
    for (const [colour, width] of [["var(--panel)", 5], ["var(--ink)", 2]]) {
      group.append("path").attr("d", path(line)).attr("fill", "none").attr("stroke", colour).attr("stroke-width", width).attr("stroke-dasharray", width === 2 ? "7 3" : null);
    }
    drawTimes(group, projection, track.points);
    const marks = [[placeAt(track.points, opens), "var(--ink)"], [placeAt(track.points, closes), "var(--panel)"]];
    for (const [place, fill] of marks.filter(([place]) => place)) {
      const [x, y] = projection([place[0], place[1]]);
      group.append("circle").attr("class", "ring").attr("cx", x).attr("cy", y).attr("r", 6).attr("fill", fill).attr("stroke", "var(--ink)").attr("stroke-width", 2);
    }
  }
  d3.select("#sailed-note").text(`Dashed: the passage of ${fileName(sailed.file)}, times in UTC. Full ring: where she is when the window opens; open ring: when it closes. `
    + sailed.tracks.filter((track) => track.points.length > 0).map((track) => `${track.name}: arrival ${wholeMoment(new Date(track.points.at(-1)[2]))} UTC`).join("; ") + ".");
}
