"use strict";
// Controls and what they change.

function options(id, values, text, value) {
  const select = d3.select(id);
  select.selectAll("option").data(values).join("option").attr("value", (item) => item).text(text);
  select.property("value", value);
}

// Axes of the chosen part; a choice that it lacks falls to the nearest one.
function fillControls() {
  const rows = chosenRows();
  const tws = ascending(rows.map((cell) => cell.tws_kn)), twa = ascending(rows.map((cell) => cell.twa_deg));
  const nearest = (values, wanted) => (values.length ? values[d3.leastIndex(values, (a, b) => Math.abs(a - wanted) - Math.abs(b - wanted))] : wanted);
  chosen.tws = nearest(tws, chosen.tws ?? 15);
  chosen.twa = nearest(twa, chosen.twa ?? 90);
  options("#region", names, (name) => name, chosen.region);
  options("#window", windows, windowText, chosen.window);
  options("#tws", tws, (value) => value, chosen.tws);
  options("#twa", twa, (value) => value, chosen.twa);
  options("#tack", tacks, (name) => name, chosen.tack);
  const place = windows.indexOf(chosen.window);
  d3.select("#time").attr("max", Math.max(0, windows.length - 1)).property("value", place).attr("aria-valuetext", windowText(chosen.window))
    .property("disabled", windows.length < 2);
  d3.select("#time-text").text(`${windowText(chosen.window)} UTC`);
}

function draw() {
  fillControls();
  drawMap();
  drawReadout();
  drawPolar();
  drawStages();
  drawWorst();
  drawSea();
  drawAdvisories();
  drawGaps();
}

function choose(change) {
  Object.assign(chosen, change);
  draw();
}

const onChange = (id, change) => d3.select(id).on("change", (event) => choose(change(event.target.value)));
onChange("#region", (region) => ({ region }));
onChange("#window", (window) => ({ window }));
onChange("#tws", (tws) => ({ tws: Number(tws) }));
onChange("#twa", (twa) => ({ twa: Number(twa) }));
onChange("#tack", (tack) => ({ tack }));
d3.select("#time").on("input", (event) => choose({ window: windows[Number(event.target.value)] }));
d3.select("#look").on("change", (event) => {
  document.documentElement.dataset.look = event.target.value;
  draw();
});
dark.addEventListener("change", draw);

let drawnAt = innerWidth;
addEventListener("resize", () => {
  if (innerWidth !== drawnAt) {
    drawnAt = innerWidth;
    draw();
  }
});

// Paper is light whatever the screen shows.
let screenLook = null;
addEventListener("beforeprint", () => {
  screenLook = document.documentElement.dataset.look;
  document.documentElement.dataset.look = "light";
  draw();
});
addEventListener("afterprint", () => {
  document.documentElement.dataset.look = screenLook ?? "system";
  draw();
});

drawProvenance();
draw();
