// What is chosen, kept in the address, and who draws when it changes.
import { ascending, manifest, partIndex, rows, tacksSailed, windows } from "./data.js";
import { commonestWind, names, ranking } from "./means.js";

// The choice of tacks that the polar files hold, and each tack by itself.
export const fileTacks = manifest.options?.tacks ?? "mean";
export const tackChoices = [...new Set([fileTacks, ...tacksSailed])];
export const LOOKS = ["system", "light", "dark", "night"];
export const LAYERS = ["factor", "lost", "hs", "wind"];
export const ARROWS = ["waves", "wind", "none"];

const first = ranking[0];
export const chosen = {
  region: names[0], window: first?.worst?.window ?? windows[0], tws: null, twa: null, tack: tackChoices[0], look: "system",
  layer: "factor", arrows: "waves",
};
// A wind that was asked for stays; one that the page found is found anew where another blows.
let asked = { tws: false };

export const chosenPart = () => partIndex(chosen.region, chosen.window);
export const chosenRows = () => rows(chosenPart());
export const tacksShown = () => (tacksSailed.includes(chosen.tack) ? [chosen.tack] : tacksSailed);
export const chosenCells = () => chosenRows().filter((cell) =>
  cell.tws_kn === chosen.tws && cell.twa_deg === chosen.twa && tacksShown().includes(cell.tack));
export const isChosen = (cell) => cell.tws_kn === chosen.tws && cell.twa_deg === chosen.twa && tacksShown().includes(cell.tack);
export const atWind = () => chosenRows().filter((cell) => cell.tws_kn === chosen.tws);
export const windsShown = () => ascending(chosenRows().map((cell) => cell.tws_kn));
export const anglesShown = () => ascending(chosenRows().map((cell) => cell.twa_deg));

const closest = (values, wanted) => (values.length ? values[d3.leastIndex(values, (a, b) => Math.abs(a - wanted) - Math.abs(b - wanted))] : wanted);

// A wind or angle that the chosen part lacks falls to the nearest one.
function settle() {
  const blowing = commonestWind(chosenPart());
  chosen.tws = closest(windsShown(), asked.tws ? chosen.tws : blowing ?? chosen.tws ?? 15);
  chosen.twa = closest(anglesShown(), chosen.twa ?? 60);
}

const KEYS = { region: names, window: windows, tack: tackChoices, look: LOOKS, layer: LAYERS, arrows: ARROWS };
function fromAddress() {
  const told = new URLSearchParams(location.hash.slice(1));
  for (const [key, known] of Object.entries(KEYS)) if (known.includes(told.get(key))) chosen[key] = told.get(key);
  for (const key of ["tws", "twa"]) {
    const value = Number(told.get(key));
    if (told.get(key) && Number.isFinite(value)) {
      chosen[key] = value;
      if (key === "tws") asked.tws = true;
    }
  }
}

function toAddress() {
  const told = new URLSearchParams(["region", "window", "tws", "twa", "tack", "look", "layer", "arrows"].map((key) => [key, chosen[key]]));
  // some viewers let no page touch its address
  try { history.replaceState(null, "", `#${told}`); } catch { /* then nothing is remembered */ }
}

const drawers = [];
export const onChange = (draw) => drawers.push(draw);
export function redraw() {
  settle();
  document.documentElement.dataset.look = chosen.look;
  for (const draw of drawers) draw();
}

export function choose(change) {
  Object.assign(chosen, change);
  if ("tws" in change) asked.tws = true;
  redraw();
  toAddress();
}

export function begin() {
  fromAddress();
  redraw();
  addEventListener("hashchange", () => { fromAddress(); redraw(); });
}
