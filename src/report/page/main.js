// What is drawn, in which order, and when.
import { drawTextures, dark, setPrinting } from "./looks.js";
import { begin, onChange, redraw } from "./state.js";
import { drawHeadline, markHeadline, chosenWords } from "./headline.js";
import { drawTable, shownView } from "./polar_table.js";
import { drawCurves } from "./curves.js";
import { drawCell } from "./cell.js";
import { drawMap } from "./map.js";
import { listen } from "./keys.js";
import { drawNotes } from "./notes.js";
import { drawStages } from "./stages.js";
import { drawSea } from "./sea.js";
import { drawWorst, listenWorst } from "./worst.js";
import { drawAdvisories } from "./advisories.js";
import { drawProvenance } from "./provenance.js";
import { drawWhatIf, listenWhatIf, startWhatIf } from "./what_if.js";
import { fillControls, listenControls } from "./controls.js";

const analyst = document.getElementById("analyst");
// What is folded is drawn when it unfolds.
function drawAnalyst() {
  if (!analyst.open) return;
  drawWorst();
  drawStages();
  drawSea();
  drawAdvisories();
}

function drawPart() {
  const words = chosenWords();
  d3.select("#part-words").text(words.join(", "));
}

// On a narrow screen only the winds that blow, until all are asked for.
shownView.allWinds = innerWidth > 620;

drawHeadline();
drawProvenance();
listenControls();
listenWorst();
listen();
listenWhatIf();
for (const draw of [drawTextures, fillControls, markHeadline, drawPart, drawTable, drawCell, drawCurves, drawMap, drawNotes, drawWhatIf, drawAnalyst]) onChange(draw);
analyst.addEventListener("toggle", drawAnalyst);
dark.addEventListener("change", redraw);

let drawnAt = innerWidth;
addEventListener("resize", () => {
  if (innerWidth !== drawnAt) {
    drawnAt = innerWidth;
    redraw();
  }
});

addEventListener("beforeprint", () => { setPrinting(true); redraw(); });
addEventListener("afterprint", () => { setPrinting(false); redraw(); });

const started = performance.now();
begin();
startWhatIf();
document.documentElement.dataset.drawn = Math.round(performance.now() - started);
