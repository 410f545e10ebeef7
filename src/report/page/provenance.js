// What the result was made from and with.
import { manifest } from "./data.js";
import { table } from "./tables.js";
import { two, windowText, words } from "./words.js";

// Options as lines of "a.b: value".
function flattened(value, path = "") {
  if (value === null || typeof value !== "object" || (Array.isArray(value) && value.every((item) => typeof item !== "object"))) {
    return [[path, Array.isArray(value) ? value.join(", ") || "none" : String(value ?? "none")]];
  }
  return Object.entries(value).flatMap(([key, inner]) => flattened(inner, path ? `${path}.${key}` : key));
}

function drawJoined(root) {
  if ((manifest.joined ?? []).length === 0) return;
  root.append("h3").text("Joined tiles and hours: how far they lie from the polar they share");
  table(root.append("div"), manifest.joined, [
    ["Region", "word", (left) => left.region], ["Window", "word", (left) => windowText(`${left.window_start}/${left.window_end}`)], ["Parts", "", (left) => left.parts],
    ["rms kn", "", (left) => two(left.rms_kn)], ["furthest part kn", "", (left) => two(left.furthest_part_rms_kn)], ["largest cell kn", "", (left) => two(left.largest_kn)],
  ]);
}

export function drawProvenance() {
  const root = d3.select("#provenance");
  root.append("p").text(`Made by ${manifest.program} ${manifest.version}.`);
  root.append("h3").text("Inputs");
  table(root.append("div"), manifest.inputs ?? [], [
    ["Role", "word", (input) => input.role], ["File", "long", (input) => input.file],
    ["Bytes", "", (input) => input.bytes], ["SHA-256", "long", (input) => input.sha256],
  ]);
  drawJoined(root);
  root.append("h3").text("Options and counts");
  table(root.append("div"), [...flattened(manifest.options ?? {}), ...flattened(manifest.counts ?? {}, "counts")], [
    ["Option", "word", (line) => words(line[0])], ["Value", "long", (line) => line[1]],
  ]);
  root.append("h3").text("Model");
  root.append("ul").selectAll("li").data(manifest.model ?? []).join("li").text((line) => line);
}
