// What to mind: reservations as sentences with what to do, gaps and warnings.
import { manifest, polarWinds, result, seaOf } from "./data.js";
import { advisorySentences } from "./advisories.js";
import { chosen, chosenRows } from "./state.js";
import { percent, plural, words } from "./words.js";

// So many gaps or warnings stand open; the rest unfold.
const OPEN = 6;
// A part of this share of the winds that blow is worth a sentence on deck; the rest is for the analyst.
const WORTH = 0.02;

const nameOf = (flag) => flag.split("=")[0];
const sentence = (text) => `${text[0].toUpperCase()}${text.slice(1)}.`;

// Flags of the chosen part with their share of the cells, weighed by how much their wind blows.
export function flagShares() {
  const cells = chosenRows().filter((cell) => cell.flat_kn > 0), whole = d3.sum(cells, (cell) => cell.wind_share), shares = new Map();
  for (const cell of cells) {
    for (const flag of new Set(cell.flags.split(";").filter(Boolean).map(nameOf))) {
      const known = shares.get(flag) ?? { flag, count: 0, weight: 0, of: cells.length };
      shares.set(flag, { ...known, count: known.count + 1, weight: known.weight + cell.wind_share });
    }
  }
  const all = [...shares.values()].map((flag) => ({ ...flag, share: whole > 0 ? flag.weight / whole : flag.count / flag.of }));
  return all.toSorted((a, b) => b.share - a.share || d3.ascending(a.flag, b.flag));
}

function flagItem(item, { flag, share }) {
  const known = result.flags[flag];
  item.attr("data-flag", flag);
  item.append("span").text(known ? sentence(known.meaning) : `${words(flag)}.`);
  if (known) item.append("b").text(` ${sentence(known.to_do)}`);
  if (share !== undefined) item.append("span").attr("class", "quiet").text(` ${percent(share)} of what blows.`);
}

function list(root, title, items, write, none) {
  if (items.length === 0 && !none) return;
  root.append("h3").text(title);
  if (items.length === 0) { root.append("p").text(none); return; }
  const fill = (list, some) => list.selectAll("li").data(some).join("li").each(function one(item) { write(d3.select(this), item); });
  fill(root.append("ul"), items.slice(0, OPEN));
  if (items.length > OPEN) {
    const more = root.append("details").attr("class", "more");
    more.append("summary").text(`${items.length - OPEN} more, all in manifest.json`);
    fill(more.append("ul"), items.slice(OPEN));
  }
}

function folded(root, lines) {
  if (lines.length === 0) return;
  const more = root.append("details").attr("class", "warnings screen-only");
  more.append("summary").text(`${plural(lines.length, "warning")} of the run`);
  more.append("ul").selectAll("li").data(lines).join("li").text((text) => text);
}

const line = (item, text) => item.text(text);

// Lines about the chosen region come first.
const ownFirst = (lines) => d3.sort(lines ?? [], (text) => (text.includes(`"${chosen.region}"`) ? 0 : 1));

// Winds beyond the polar's columns, where nothing is known of her.
function beyondPolar() {
  const sea = seaOf(chosen.region, chosen.window), told = [];
  if (sea && sea.tws_p90_kn > polarWinds.most) told.push(`It blows up to ${Math.round(sea.tws_p90_kn)} kn and more here, and her polar ends at ${polarWinds.most} kn: no speed is known beyond it.`);
  if (sea && sea.tws_p10_kn < polarWinds.least) told.push(`Part of it is calm, below the ${polarWinds.least} kn at which her polar begins.`);
  return told;
}

export function drawNotes() {
  const root = d3.select("#notes");
  root.selectAll("*").remove();
  const flags = flagShares();
  list(root, "Over a limit", advisorySentences(), line);
  list(root, "Beyond her polar", beyondPolar(), line);
  list(root, "In this region and window", flags.filter(({ share }) => share >= WORTH), flagItem,
    chosenRows().length ? "Nothing: every number here lies within the model's range." : "No polar, so there is nothing to reserve.");
  list(root, "Missing from the forecast", ownFirst(manifest.gaps), line, "Nothing.");
  list(root, "About her files, in every region", (manifest.boat_flags ?? []).map((flag) => ({ flag })), flagItem);
  folded(root, ownFirst(manifest.warnings));
  const rest = flags.filter(({ share }) => share < WORTH);
  const few = d3.select("#few-flags");
  few.selectAll("*").remove();
  list(few, "Reservations that hardly count here", rest, flagItem, "None.");
}
