// The answer first: who, when, from what and where, then a sentence a region.
import { cells, manifest, result, seaOf, windows } from "./data.js";
import { POINTS_OF_SAILING, ranking } from "./means.js";
import { choose, chosen } from "./state.js";
import { ends, fileName, latitude, listed, longitude, moment, percent, plural, two, wholeMoment, windowText, words } from "./words.js";

// So many sentences stand open; the rest unfold.
const OPEN = 4;

const inputs = (role) => (manifest.inputs ?? []).filter((input) => input.role === role);
export const boatName = manifest.boat_name || fileName(inputs("boat")[0]?.file ?? "the boat");

function period() {
  if (windows.length === 0) return "no window";
  const [start] = ends(windows[0]), end = d3.max(windows, (window) => ends(window)[1]);
  return `${wholeMoment(start)} to ${wholeMoment(end)} UTC`;
}

function forecast() {
  const files = [...inputs("forecast"), ...inputs("tally")].map((input) => fileName(input.file));
  const runs = (manifest.forecast_runs ?? []).map((time) => new Date(time));
  const run = runs.length === 0 ? "" : runs.length === 1 ? `run of ${wholeMoment(runs[0])} UTC, ` : `runs of ${wholeMoment(runs[0])} to ${wholeMoment(runs.at(-1))} UTC, `;
  const members = manifest.counts?.ensemble_members ? `, ${plural(manifest.counts.ensemble_members, "member")} of an ensemble` : "";
  const what = inputs("tally").length ? "Tally" : "Forecast";
  return `${what}: ${run}${files.length > 2 ? `${files[0]} and ${files.length - 1} more` : files.join(", ")}${members}`;
}

// The corners of all regions; the west is where the widest gap of longitudes ends.
function where() {
  const points = result.regions.flatMap((region) => region.outline.coordinates.flat(region.outline.type === "Polygon" ? 1 : 2));
  if (points.length === 0) return "";
  const [south, north] = d3.extent(points, (point) => point[1]);
  const lons = d3.sort(new Set(points.map((point) => (point[0] + 540) % 360 - 180)));
  const gaps = lons.map((lon, i) => (lons[i + 1] ?? lons[0] + 360) - lon);
  const at = d3.maxIndex(gaps), east = lons[at], west = lons[(at + 1) % lons.length];
  return `${plural(result.regions.length, "region")}, ${latitude(south)} to ${latitude(north)}, ${longitude(west)} to ${longitude(east)}`;
}

// "loses 0.4 kn upwind and 0.2 reaching, gains 0.3 running"
function lostWords(points) {
  const known = points.map((kn, k) => ({ kn, name: POINTS_OF_SAILING[k] })).filter(({ kn }) => kn !== null);
  const said = (some, verb, sign) => (some.length ? `${verb} ${listed(some.map(({ kn, name }, k) => `${two(sign * kn)}${k === 0 ? " kn" : ""} ${name}`))}` : null);
  const lost = known.filter(({ kn }) => kn >= 0.005), given = known.filter(({ kn }) => kn <= -0.005);
  return [said(lost, "loses", 1), said(given, "gains", -1)].filter(Boolean).join(", ") || "loses nothing";
}

function windsOf(region, parts) {
  const known = parts.map((part) => seaOf(region.name, part.window)).filter(Boolean);
  if (known.length) return [d3.min(known, (sea) => sea.tws_p10_kn), d3.max(known, (sea) => sea.tws_p90_kn)].map(Math.round);
  const blowing = parts.flatMap((part) => part.winds.filter(([, share]) => share >= 0.05).map(([tws]) => tws));
  return d3.extent(blowing);
}

const signedKnots = (points) => points.map((kn, k) => (kn === null ? null : `${kn <= -0.005 ? "+" : ""}${two(-kn)} ${POINTS_OF_SAILING[k]}`)).filter(Boolean).join(", ");

// What the sea costs in a region: what is to be weighty, then the rest.
function sentence(region) {
  if (region.lost === null) return ["no polar", ": the forecast holds no usable sea here."];
  const { worst, parts } = region, [low, high] = windsOf(region, parts);
  const sea = seaOf(region.name, worst.window);
  const why = [worst.stage && `most of it by ${words(worst.stage)}`,
    sea && `in seas of ${two(sea.hs_m)} m and ${Math.round(sea.tws_p10_kn)} to ${Math.round(sea.tws_p90_kn)} kn of wind`].filter(Boolean).join(" ");
  const blow = ` in the winds that blow, ${low === high ? low : `${low} to ${high}`} kn`;
  const rest = parts.length > 1 ? `. Worst ${windowText(worst.window)}: ${signedKnots(worst.points)}${why && `, ${why}`}` : why && `, ${why}`;
  const stopped = region.stopped < 0.0005 ? "Never stopped." : `${percent(region.stopped)} of the sea stops her.`;
  const lacking = windows.filter((window) => !parts.some((part) => part.window === window));
  const without = lacking.length === 0 ? "" : ` No polar ${lacking.length === 1 ? windowText(lacking[0]) : `in ${lacking.length} windows`}: no usable sea.`;
  return [lostWords(region.points), `${blow}${rest}. ${stopped}${without}`];
}

// Paths of the index are relative to the result folder; a page elsewhere knows the way there.
export const fileLink = (file) => [result.folder, file].filter((part) => part && part !== ".").join("/").split("/").map(encodeURIComponent).join("/")
  .replaceAll("%2E%2E", "..");

function links(item, region) {
  const polars = result.regions.find(({ name }) => name === region.name)?.polars ?? [];
  if (polars.length === 0) return;
  const root = polars.length > 2 ? item.append("details").attr("class", "files") : item.append("span").attr("class", "files");
  if (polars.length > 2) root.append("summary").text(`${polars.length} polars as CSV`);
  else root.append("span").text(polars.length === 1 ? "Polar as CSV: " : "Polars as CSV: ");
  root.selectAll("a").data(polars).join("a").attr("href", (polar) => fileLink(polar.file)).text((polar) => moment(new Date(polar.start)));
}

function answer(item, region, k) {
  const [what, rest] = sentence(region);
  const text = item.append("p");
  text.append("span").attr("class", "rank").text(k + 1);
  text.append("button").attr("type", "button").text(region.name).attr("data-region", region.name)
    .on("click", () => choose({ region: region.name, window: region.worst?.window ?? chosen.window }));
  text.append("span").text(": ");
  text.append("strong").text(what);
  text.append("span").text(rest);
  links(item, region);
}

// The tables of the result folder that the page was made from.
function drawTables() {
  const tables = ["audit.csv", ...(cells ? ["cells.csv"] : []), ...(manifest.options?.members === "each" ? ["members.csv"] : []), "index.geojson", "manifest.json"];
  const root = d3.select("#tables");
  root.text("All numbers: ");
  root.selectAll("a").data(tables).join("a").attr("href", fileLink).text(String);
}

export function drawHeadline() {
  drawTables();
  d3.select("#boat").text(`${boatName}: what the sea takes`);
  document.title = `${boatName}: speeds in the forecast sea`;
  d3.select("#made").selectAll("span").data([period(), where(), forecast()].filter(Boolean)).join("span").text((line) => line);
  const shown = ranking.map((region, k) => ({ region, k }));
  for (const [id, some] of [["#answers", shown.slice(0, OPEN)], ["#more-answers-list", shown.slice(OPEN)]]) {
    const root = d3.select(id);
    root.selectAll("*").remove();
    root.selectAll("li").data(some).join("li").each(function write({ region, k }) { answer(d3.select(this), region, k); });
  }
  d3.select("#more-answers").property("hidden", shown.length <= OPEN).select("summary")
    .text(`${shown.length - OPEN} more regions, in the order of knots lost`);
}

// The chosen region's sentence is marked; on paper it stands alone.
export function markHeadline() {
  d3.selectAll(".answers li").classed("chosen", ({ region }) => region.name === chosen.region);
}

export const chosenWords = () => {
  const sea = seaOf(chosen.region, chosen.window);
  return [chosen.region, `${windowText(chosen.window ?? "")} UTC`, sea && `seas of ${two(sea.hs_m)} m`,
    sea && `wind ${Math.round(sea.tws_p10_kn)} to ${Math.round(sea.tws_p90_kn)} kn`].filter(Boolean);
};
