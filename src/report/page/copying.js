// Copy and download of what the table shows, with all digits.
import { audit } from "./data.js";
import { polarTable } from "./polar_table.js";
import { chosen, chosenPart } from "./state.js";

const VALUES = { corrected: (cell) => cell.corrected, difference: (cell) => -cell.lost, flat: (cell) => cell.flat };

// The table as text: the corner, winds, then a line an angle; speeds as a polar file has them.
export function tableText(view, delimiter, lineEnd) {
  const polar = polarTable(chosenPart(), chosen.tack);
  if (!polar) return null;
  const number = (cell) => (cell ? VALUES[view](cell).toFixed(2).replace(/^-0\.00$/, "0.00") : "");
  const lines = polar.twa.map((twa) => [twa, ...polar.tws.map((wind) => number(polar.at(twa, wind)))]);
  return [["twa_deg", ...polar.tws], ...lines].map((line) => line.join(delimiter) + lineEnd).join("");
}

// A name that any system takes.
export function tableName(view) {
  const part = audit.parts[chosenPart()];
  const start = part.start.replace(/[-:]/g, "");
  return `${chosen.region}-${start}-${chosen.tack}-${view}.csv`.replace(/[^\p{L}\p{N}._-]+/gu, "-");
}

const say = (text) => d3.select("#copied").text(text);

export async function copyTable(view) {
  const text = tableText(view, "\t", "\n");
  if (text === null) return;
  try {
    await navigator.clipboard.writeText(text);
    say("Copied: paste it into a spreadsheet.");
  } catch {
    // where a page may not write to the clipboard, the reader's own copy command may
    const box = document.body.appendChild(Object.assign(document.createElement("textarea"), { value: text }));
    box.select();
    say(document.execCommand("copy") ? "Copied: paste it into a spreadsheet." : "The browser does not let this page copy: download it instead.");
    box.remove();
  }
}

export function downloadTable(view) {
  const text = tableText(view, ",", "\r\n");
  if (text === null) return;
  const address = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
  Object.assign(document.createElement("a"), { href: address, download: tableName(view) }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
  say(`${tableName(view)} is in the downloads.`);
}
