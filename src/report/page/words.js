// Numbers, times, places and names as people read them.

// Two significant digits, and no more than two decimals.
export function two(value) {
  if (value === null || value === undefined || Number.isNaN(value)) return "–";
  const size = Math.abs(value);
  const text = value.toFixed(size >= 9.95 ? 0 : size >= 0.995 ? 1 : 2);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}

// A speed to a tenth of a knot.
export const tenth = (kn) => (kn === null || kn === undefined ? "–" : kn.toFixed(1));
// The audit's decimals: what the page shows is what the file holds.
export const speed = (kn) => (kn === null || kn === undefined ? "–" : kn.toFixed(4));
export const factor = (value) => (value === null || value === undefined ? "–" : value.toFixed(6));
export const percent = (share) => {
  const value = 100 * share;
  return value === 0 ? "0 %" : value < 1 ? "under 1 %" : `${value.toFixed(0)} %`;
};

// A cause or option in words.
export const words = (name) => name.replace(/^stage_/, "").replace(/[_-]/g, " ");

const day = d3.utcFormat("%a %-d %b"), clock = d3.utcFormat("%H:%M"), whole = d3.utcFormat("%-d %b %Y %H:%M");
export const moment = (time) => `${day(time)} ${clock(time)}`;
export const wholeMoment = (time) => whole(time);
export const ends = (window) => window.split("/").map((time) => new Date(time));

export function windowText(window) {
  const [start, end] = ends(window);
  if (start.getTime() === end.getTime()) return moment(start);
  return day(start) === day(end) ? `${moment(start)} to ${clock(end)}` : `${moment(start)} to ${moment(end)}`;
}

const degrees = (value, ahead, behind, decimals) => `${Math.abs(value).toFixed(decimals)}°${value < 0 ? behind : ahead}`;
export const position = (lat, lon) => `${degrees(lat, "N", "S", 1)} ${degrees(lon, "E", "W", 1)}`;
export const latitude = (lat) => degrees(lat, "N", "S", 0);
export const longitude = (lon) => (Math.abs(lon) === 180 ? "180°" : degrees(lon, "E", "W", 0));

const POINTS = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
export const compass = (deg) => POINTS[Math.round(deg / 45) % 8];

export const plural = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;
export const listed = (items) => (items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`);
export const fileName = (path) => path.split(/[\\/]/).pop();
