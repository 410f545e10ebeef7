"use strict";
// A passage on the map: the way, where she is when the window opens and closes, and when she arrives.

const sailed = result.sailed;

// The place on a track at a time, between its points; null before and after.
function placeAt(points, time) {
  const next = points.findIndex((point) => point[2] >= time);
  if (next < 0 || time < points[0][2]) return null;
  if (next === 0) return points[0];
  const [from, to] = [points[next - 1], points[next]];
  return d3.geoInterpolate(from, to)(to[2] === from[2] ? 1 : (time - from[2]) / (to[2] - from[2]));
}

function drawSailed(root, projection, path) {
  if (!sailed) return;
  const [opens, closes] = chosen.window.split("/").map((time) => new Date(time).getTime());
  const group = root.append("g").attr("class", "sailed");
  for (const track of sailed.tracks) {
    const line = { type: "LineString", coordinates: track.points.map(([lon, lat]) => [lon, lat]) };
    for (const [colour, width] of [["var(--panel)", 5], ["var(--ink)", 2]]) {
      group.append("path").attr("d", path(line)).attr("fill", "none").attr("stroke", colour).attr("stroke-width", width)
        .attr("stroke-dasharray", width === 2 ? "7 3" : null);
    }
    const marks = [[placeAt(track.points, opens), "var(--ink)"], [placeAt(track.points, closes), "var(--panel)"]];
    for (const [place, fill] of marks.filter(([place]) => place)) {
      const [x, y] = projection([place[0], place[1]]);
      group.append("circle").attr("cx", x).attr("cy", y).attr("r", 5).attr("fill", fill).attr("stroke", "var(--ink)").attr("stroke-width", 2);
    }
  }
  d3.select("#sailed-note").text(`Dashed: the passage of ${sailed.file}. Full ring: where she is when the window opens; open ring: when it closes. `
    + sailed.tracks.map((track) => `${track.name}: arrival ${utc(new Date(track.points.at(-1)[2]))} UTC`).join("; ") + ".");
}
