// A passage on the map: the way, with times, where she is when the window opens and closes, and when she arrives.
import { result } from "./data.js";
import { chosen } from "./state.js";
import { fileName, moment, wholeMoment } from "./words.js";

const sailed = result.sailed;
// Times stand along the way at so many hours, as few as keep apart.
const HOURS = [3, 6, 12, 24, 48, 96, 240];
const MOST_TIMES = 7;

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
  const step = 3_600_000 * (HOURS.find((hours) => (end - start) / 3_600_000 / hours <= MOST_TIMES) ?? 240);
  return [start, ...d3.range(Math.ceil(start / step) * step, end, step).filter((time) => time - start > step / 3 && end - time > step / 3), end];
}

function drawTimes(group, projection, points) {
  for (const [k, time] of timesAlong(points).entries()) {
    const place = placeAt(points, time);
    const [x, y] = projection([place[0], place[1]]);
    group.append("circle").attr("class", "hour").attr("cx", x).attr("cy", y).attr("r", 2.6).attr("fill", "var(--ink)");
    group.append("text").attr("class", "halo time").attr("x", x).attr("y", y + (k % 2 ? 18 : -9)).attr("text-anchor", "middle").text(moment(new Date(time)));
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
