// Controls and what they change.
import { windows } from "./data.js";
import { names, rank } from "./means.js";
import { anglesShown, choose, chosen, tackChoices, windsShown } from "./state.js";
import { drawTable, shownView, TACK_WORDS } from "./polar_table.js";
import { copyTable, downloadTable } from "./copying.js";
import { windowText } from "./words.js";

function options(id, values, text, value) {
  const select = d3.select(id);
  select.selectAll("option").data(values).join("option").attr("value", (item) => item).text(text);
  select.property("value", value);
}

export function fillControls() {
  options("#region", names, (name) => (names.length > 1 ? `${rank(name)} ${name}` : name), chosen.region);
  options("#window", windows, windowText, chosen.window);
  options("#tws", windsShown(), String, chosen.tws);
  options("#twa", anglesShown(), String, chosen.twa);
  options("#tack", tackChoices, (tack) => TACK_WORDS[tack] ?? tack, chosen.tack);
  for (const id of ["look", "layer", "arrows"]) d3.select(`#${id}`).property("value", chosen[id]);
  d3.select("#time").attr("max", Math.max(0, windows.length - 1)).property("value", windows.indexOf(chosen.window))
    .attr("aria-valuetext", chosen.window ? windowText(chosen.window) : null).property("disabled", windows.length < 2);
  d3.select("#time-text").text(chosen.window ? `${windowText(chosen.window)} UTC` : "");
}

function listenTable() {
  d3.selectAll("input[name=view]").on("change", (event) => { shownView.view = event.target.value; drawTable(); });
  d3.select("#digits").on("change", (event) => { shownView.digits = event.target.checked; drawTable(); });
  d3.select("#all-winds").property("checked", shownView.allWinds).on("change", (event) => { shownView.allWinds = event.target.checked; drawTable(); });
  d3.select("#copy").on("click", () => copyTable(shownView.view));
  d3.select("#download").on("click", () => downloadTable(shownView.view));
}

export function listenControls() {
  for (const id of ["region", "window", "tack", "look", "layer", "arrows"]) d3.select(`#${id}`).on("change", (event) => choose({ [id]: event.target.value }));
  for (const id of ["tws", "twa"]) d3.select(`#${id}`).on("change", (event) => choose({ [id]: Number(event.target.value) }));
  d3.select("#time").on("input", (event) => choose({ window: windows[Number(event.target.value)] }));
  listenTable();
}
