// The page of an atlas: a sea and a wind by sliders, and what she makes of them.

const atlas = openAtlas(JSON.parse(document.getElementById("atlas-data").textContent));
const { data } = atlas;
const get = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";

function element(parent, name, attributes = {}, text = null) {
  const made = parent.appendChild(document.createElementNS(SVG, name));
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== null) made.textContent = text;
  return made;
}

function chart(id, width, height, label) {
  get(id).replaceChildren();
  return element(get(id), "svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": label });
}

function table(id, head, rows) {
  const made = document.createElement("table");
  const line = (values, name) => {
    const row = document.createElement("tr");
    values.forEach((value, index) => {
      const cell = row.appendChild(document.createElement(name));
      if (value instanceof Node) { cell.append(value); cell.className = "wide"; } else cell.textContent = value;
      if (index === 0) cell.classList.add("word");
    });
    return row;
  };
  made.createTHead().append(line(head, "th"));
  made.createTBody().append(...rows.map((row) => line(row, "td")));
  get(id).replaceChildren(made);
  return made;
}

// Looks, and one ordered scale in per cent of the flat speed lost: ColorBrewer's YlOrBr (Brewer 2003) on light and dark, reds at night.
const BORDERS = [1, 2, 5, 10, 15, 20, 30];
const SCALES = {
  light: ["#fff9e3", "#fff0b8", "#fee391", "#fec44f", "#fe9929", "#ec7014", "#cc4c02", "#8c2d04"],
  dark: ["#241c15", "#3d2611", "#5d350c", "#81480b", "#ad6413", "#d48a2a", "#f1b84e", "#fee8a6"],
  night: ["#160302", "#340806", "#520d09", "#6e120c", "#e04030", "#f05545", "#ff6a58", "#ff7f70"],
};
const GAIN = { light: "#a9cbe8", dark: "#27507a", night: "#000000" };
const darkSystem = matchMedia("(prefers-color-scheme: dark)");
function look() {
  const set = document.documentElement.dataset.look;
  return set === "system" ? (darkSystem.matches ? "dark" : "light") : set;
}
function shade(factor) {
  const lost = 100 * (1 - factor);
  return lost < -0.5 ? GAIN[look()] : SCALES[look()][BORDERS.filter((border) => lost >= border).length];
}

// Steps of the fetch's slider, nautical miles.
const FETCHES_NM = [0, 5, 10, 20, 35, 50, 75, 100, 150, 200, 300, 400, 600];
const LEAST_HS_M = 0.1;
const swellTable = atlas.tables.swell;
const least = (values) => values[0], most = (values) => values[values.length - 1];
const twaAxis = [...new Set(atlas.headings.map((heading) => heading.twa_deg))].sort((a, b) => a - b);
const RANGES = {
  tws: [Math.ceil(least(data.tws_kn)), Math.floor(most(data.tws_kn)), Math.min(15, Math.floor(most(data.tws_kn)))],
  twa: [-Math.floor(most(twaAxis)), Math.floor(most(twaAxis)), Math.round(twaAxis[Math.floor(twaAxis.length / 2)])],
  tp: [Math.ceil(2 * least(swellTable.tp_s)) / 2, Math.floor(2 * most(swellTable.tp_s)) / 2, 10],
  tp2: [Math.ceil(2 * least(swellTable.tp_s)) / 2, Math.floor(2 * most(swellTable.tp_s)) / 2, 13],
};
for (const [id, [low, high, value]] of Object.entries(RANGES)) Object.assign(get(id), { min: low, max: high, value });
for (const [id, value] of Object.entries({ fetch: 7, hs: 2, off: 60, hs2: 0, off2: -90 })) get(id).value = value;
const number = (id) => Number(get(id).value);

const signed = (value) => (Math.abs(value) < 0.005 ? "0.00" : `${value < 0 ? "−" : "+"}${kn(Math.abs(value))}`);
const side = (deg) => (deg === 0 || Math.abs(deg) === 180 ? `${Math.abs(deg)}°` : `${Math.abs(deg)}° ${deg > 0 ? "right" : "left"}`);
const kn = (value) => value.toFixed(2);

// Wave systems in a wind; of a swell's height and angle others can be asked for.
function systems(tws_kn, { more_m = 0, off_wind_deg = number("off") } = {}) {
  const sea = [];
  const fetch_nm = FETCHES_NM[number("fetch")];
  if (fetch_nm > 0 && tws_kn > 0) {
    const grown = atlas.grown(tws_kn, 1852 * fetch_nm);
    if (grown.hs_m >= LEAST_HS_M) sea.push({ kind: "wind-sea", ...grown, off_wind_deg: 0 });
  }
  sea.push({ kind: "swell", hs_m: number("hs") + more_m, tp_s: number("tp"), off_wind_deg });
  sea.push({ kind: "swell", hs_m: number("hs2"), tp_s: number("tp2"), off_wind_deg: number("off2") });
  return sea.filter((system) => system.hs_m > 0);
}

// The angle to the polar's lowest and highest angles, on its tack.
function within(twa_deg) {
  const size = Math.min(most(twaAxis), Math.max(least(twaAxis), Math.abs(twa_deg)));
  return twa_deg < 0 ? -size : size;
}

function describe(system) {
  const name = system.kind === "swell" ? "swell" : "wind sea";
  const from = system.off_wind_deg === 0 ? "straight down the wind" : `from ${side(system.off_wind_deg)} of the wind`;
  return `${name} ${system.hs_m.toFixed(1)} m, ${system.tp_s.toFixed(1)} s, ${from}`;
}

function drawWords(sea, tws, twa) {
  get("tws-out").textContent = `${tws} kn`;
  get("twa-out").textContent = `${twa}°`;
  const fetch_nm = FETCHES_NM[number("fetch")];
  get("fetch-out").textContent = fetch_nm ? `${fetch_nm} nm` : "none";
  for (const n of ["", "2"]) {
    get(`hs${n}-out`).textContent = `${number(`hs${n}`).toFixed(1)} m`;
    get(`tp${n}-out`).textContent = `${number(`tp${n}`).toFixed(1)} s`;
    get(`off${n}-out`).textContent = side(number(`off${n}`));
  }
  const wind = sea.find((system) => system.kind === "wind-sea");
  const scaled_fetch = data.growth.gravity_m_s2 * 1852 * fetch_nm / (tws * 1852 / 3600) ** 2;
  const [from, to] = data.growth.range;
  const range = scaled_fetch < from ? " Shorter than the fetches that the growth curve was measured over."
    : scaled_fetch > to ? " Longer than the fetches that the growth curve was measured over: near the fully developed sea." : "";
  get("wind-sea-note").textContent = wind ? `${wind.hs_m.toFixed(1)} m, ${wind.tp_s.toFixed(1)} s (JONSWAP, Hasselmann et al. 1973).${range}` : "No wind sea.";
  const speed = atlas.speed(sea, tws, within(twa));
  const factor = speed.flat_kn > 0 ? speed.corrected_kn / speed.flat_kn : 1;
  get("sea").textContent = `${sea.length ? sea.map(describe).join("; ") : "Flat water"}. TWS ${tws} kn, TWA ${within(twa)}°: `
    + `flat ${kn(speed.flat_kn)} kn, here ${kn(speed.corrected_kn)} kn, factor ${factor.toFixed(3)}.`;
  get("title").textContent = `Atlas of ${data.boat}`;
  document.title = get("title").textContent;
}

function drawPolar(sea, tws, twa) {
  const size = 420, middle = size / 2, top = 30;
  const points = atlas.headings.map((heading) => ({ signed: heading.signed_twa_deg, ...atlas.speed(sea, tws, heading.signed_twa_deg) }));
  const fastest = Math.max(1, ...points.map((point) => Math.max(point.flat_kn, point.corrected_kn)));
  const ring = [1, 2, 5, 10].find((step) => fastest / step <= 6) ?? 10, rings = Math.ceil(fastest / ring);
  const scale = (middle - 26) / (rings * ring);
  const root = chart("polar", size, size + top - 30, `Polar at ${tws} kn: flat water and this sea on both tacks`);
  const at = (signed, speed) => [middle + scale * speed * Math.sin(signed * Math.PI / 180), middle - scale * speed * Math.cos(signed * Math.PI / 180)];
  for (let i = 1; i <= rings; i += 1) {
    element(root, "circle", { cx: middle, cy: middle, r: scale * ring * i, fill: "none", stroke: "var(--line)" });
    element(root, "text", { x: middle + 3, y: middle - scale * ring * i - 2, class: "quiet" }, `${ring * i}${i === rings ? " kn" : ""}`);
  }
  for (const tack of ["starboard", "port"]) {
    const own = points.filter((point) => (tack === "port" ? point.signed < 0 || Object.is(point.signed, -0) : point.signed > 0 || Object.is(point.signed, 0)))
      .sort((a, b) => Math.abs(a.signed) - Math.abs(b.signed));
    const path = (speed) => own.map((point, i) => `${i ? "L" : "M"}${at(point.signed, speed(point)).map((v) => v.toFixed(1)).join(",")}`).join("");
    element(root, "path", { d: `${path((point) => point.corrected_kn)}L${middle},${middle}Z`, fill: "var(--band)", stroke: "none" });
    element(root, "path", { d: path((point) => point.corrected_kn), fill: "none", stroke: "var(--mark)", "stroke-width": 2.5, class: "corrected" });
    element(root, "path", { d: path((point) => point.flat_kn), fill: "none", stroke: "var(--ink)", "stroke-width": 1.2, "stroke-dasharray": "5 3" });
  }
  const chosen = within(twa), here = atlas.speed(sea, tws, chosen);
  const [x, y] = at(chosen, here.corrected_kn);
  element(root, "line", { x1: middle, y1: middle, x2: x, y2: y, stroke: "var(--focus)", "stroke-width": 1.5 });
  element(root, "circle", { cx: x, cy: y, r: 5, fill: "var(--focus)" });
  for (const system of sea) {
    const angle = system.off_wind_deg * Math.PI / 180, edge = middle - 6;
    // from where it comes, as the wind stands above
    const from = [middle + edge * Math.sin(angle), middle - edge * Math.cos(angle)];
    const to = [middle + (edge - 22) * Math.sin(angle), middle - (edge - 22) * Math.cos(angle)];
    element(root, "line", { x1: from[0], y1: from[1], x2: to[0], y2: to[1], stroke: system.kind === "swell" ? "var(--mark)" : "var(--faint)", "stroke-width": Math.min(9, 1 + 1.6 * system.hs_m) })
      .appendChild(document.createElementNS(SVG, "title")).textContent = describe(system);
  }
  root.addEventListener("click", (event) => {
    const box = root.getBoundingClientRect();
    const angle = Math.atan2(event.clientX - box.left - box.width / 2, box.top + box.height * middle / size - event.clientY) * 180 / Math.PI;
    get("twa").value = Math.round(angle);
    draw();
  });
}

const STAGE_WORDS = Object.fromEntries(data.stages.map((stage) => [stage, stage.replaceAll("_", " ")]));

// A cell at the chosen wind and angle, between the polar's cells: stages weighed in their logarithms.
function stagesAt(sea, tws, twa) {
  const placed = atlas.place(sea), weights = [];
  const around = (axis, value) => {
    const next = Math.min(axis.length - 1, Math.max(1, axis.findIndex((node) => node > value) === -1 ? axis.length - 1 : axis.findIndex((node) => node > value)));
    const part = Math.min(1, Math.max(0, (value - axis[next - 1]) / (axis[next] - axis[next - 1])));
    return [[next - 1, 1 - part], [next, part]];
  };
  const tack = twa < 0 ? "port" : "starboard";
  for (const [a, ofAngle] of around(twaAxis, Math.abs(twa))) {
    const heading = atlas.headings.find((one) => one.tack === tack && one.twa_deg === twaAxis[a]);
    for (const [c, ofColumn] of around(data.tws_kn, tws)) if (heading && ofAngle * ofColumn > 0) weights.push([atlas.cell(placed, heading, c), ofAngle * ofColumn]);
  }
  const sum = (of) => weights.reduce((all, [cell, weight]) => all + weight * of(cell), 0);
  return {
    stages: data.stages.map((_, i) => Math.exp(sum((cell) => Math.log(Math.max(1e-9, cell.stages[i]))))),
    speed_sd_kn: sum((cell) => cell.speed_sd_kn),
    riding_share: sum((cell) => cell.riding_share),
    stopped_share: sum((cell) => (cell.factor > 0 ? 0 : 1)),
  };
}

function drawStages(sea, tws, twa) {
  const at = within(twa), cell = stagesAt(sea, tws, at), { flat_kn, corrected_kn } = atlas.speed(sea, tws, at);
  const sums = cell.stages.map((stage) => Math.log(Math.max(1e-9, stage))), whole = sums.reduce((a, b) => a + b, 0);
  // knots that each takes: its part of all in the logarithm
  const lost = flat_kn - corrected_kn;
  const taken = cell.stages.map((stage, i) => (Math.abs(whole) > 1e-6 ? lost * sums[i] / whole : 0));
  const largest = Math.max(0.01, ...taken.map(Math.abs));
  const rows = data.stages.map((stage, i) => {
    const bar = document.createElement("span");
    bar.className = "bar";
    bar.style.width = `${(100 * Math.abs(taken[i]) / largest).toFixed(0)}%`;
    return [STAGE_WORDS[stage], cell.stages[i].toFixed(3), `${signed(-taken[i])} kn`, bar];
  });
  const more = atlas.speed(systems(tws, { more_m: 1 }), tws, at), moreBeyond = atlas.beyond(systems(tws, { more_m: 1 }));
  rows.push(["all", flat_kn > 0 ? (corrected_kn / flat_kn).toFixed(3) : "–", `${signed(-lost)} kn`, ""]);
  rows.push(["speed swings by", "", `${kn(cell.speed_sd_kn)} kn`, ""]);
  rows.push(["faster than the crests", "", `${(100 * cell.riding_share).toFixed(0)} %`, ""]);
  rows.push(["stopped", "", `${(100 * cell.stopped_share).toFixed(0)} %`, ""]);
  rows.push(["one metre more of swell", "", moreBeyond ? "outside the atlas" : `${signed(more.corrected_kn - corrected_kn)} kn`, ""]);
  table("stages", [`TWS ${tws} kn, TWA ${at}°`, "factor", "", ""], rows);
}

function drawHeat(tws, twa) {
  const angles = Array.from({ length: 25 }, (_, i) => -180 + 15 * i);
  const tack = twa < 0 ? "port" : "starboard", sign = tack === "port" ? -1 : 1;
  const left = 56, top = 8, cell = [30, 24], width = left + cell[0] * angles.length + 8, height = top + cell[1] * twaAxis.length + 40;
  const root = chart("heat", width, height, `Factor by true wind angle and by the angle that the swell comes from, ${tack} tack`);
  twaAxis.forEach((angle, row) => {
    const y = top + cell[1] * row;
    element(root, "text", { x: left - 6, y: y + 16, "text-anchor": "end", class: "quiet" }, `${angle}°`);
    angles.forEach((off, column) => {
      const speed = atlas.speed(systems(tws, { off_wind_deg: off }), tws, sign * angle);
      const factor = speed.flat_kn > 0 ? speed.corrected_kn / speed.flat_kn : 1, fill = shade(factor);
      const dark = look() === "dark" ? factor > 0.85 : look() === "night" ? factor > 0.9 : factor < 0.8;
      element(root, "rect", { x: left + cell[0] * column, y, width: cell[0], height: cell[1], fill, stroke: "var(--panel)", class: "cell" })
        .appendChild(document.createElementNS(SVG, "title")).textContent = `TWA ${angle}°, swell from ${side(off)}: ${kn(speed.corrected_kn)} kn, factor ${factor.toFixed(3)}`;
      element(root, "text", { x: left + cell[0] * (column + 0.5), y: y + 16, "text-anchor": "middle", style: `font-size:10px;fill:${cellInk(dark)}` }, (100 * factor).toFixed(0));
    });
  });
  angles.filter((angle) => angle % 45 === 0).forEach((angle) => {
    element(root, "text", { x: left + cell[0] * (angles.indexOf(angle) + 0.5), y: height - 22, "text-anchor": "middle", class: "quiet" }, side(angle));
  });
  element(root, "text", { x: left + cell[0] * angles.length / 2, y: height - 5, "text-anchor": "middle", class: "quiet" }, "the swell comes from, off the wind");
  const legend = ["gain", ...BORDERS.map((border, i) => `${i ? BORDERS[i - 1] : 0} to ${border} % lost`), `over ${most(BORDERS)} % lost`];
  get("heat-legend").replaceChildren(...legend.map((text, i) => {
    const entry = document.createElement("span"), swatch = entry.appendChild(document.createElement("i"));
    swatch.className = "swatch";
    swatch.style.background = i ? SCALES[look()][i - 1] : GAIN[look()];
    entry.append(text);
    return entry;
  }));
  get("heat-note").textContent = `Per cent of the flat speed at TWS ${tws} kn on ${tack} tack, the rest of the sea as chosen.`;
}
const cellInk = (onDark) => (look() === "night" ? (onDark ? "#ff7a6a" : "#000000") : onDark ? (look() === "dark" ? "#e6e9ec" : "#ffffff") : (look() === "dark" ? "#11161b" : "#1b232b"));

function drawTable(sea, tws) {
  const more = systems(tws, { more_m: 1 }), outside = atlas.beyond(more);
  const rows = twaAxis.map((angle) => {
    const [starboard, port] = [1, -1].map((sign) => atlas.speed(sea, tws, sign * angle));
    const cost = [1, -1].map((sign, i) => atlas.speed(more, tws, sign * angle).corrected_kn - [starboard, port][i].corrected_kn);
    return [`${angle}°`, kn(starboard.flat_kn), kn(starboard.corrected_kn), kn(port.corrected_kn),
      ...[starboard, port].map((speed) => (speed.flat_kn > 0 ? (speed.corrected_kn / speed.flat_kn).toFixed(3) : "–")),
      ...cost.map((value) => (outside ? "–" : signed(value)))];
  });
  table("table", ["TWA", "flat kn", "starboard kn", "port kn", "starboard factor", "port factor", "1 m more, starboard", "1 m more, port"], rows);
}

// All winds of the polar, starboard tack positive, as the program writes it.
function polarCsv() {
  const rows = [];
  for (const heading of atlas.headings.slice().sort((a, b) => a.signed_twa_deg - b.signed_twa_deg)) {
    if (heading.tack === "port" && heading.twa_deg === 0) continue;
    rows.push([heading.signed_twa_deg, ...data.tws_kn.map((tws, column) =>
      (atlas.factor(atlas.place(systems(tws)), heading, column) * data.flat_kn[heading.number * atlas.columns + column]).toFixed(2))].join(","));
  }
  return [["twa_deg", ...data.tws_kn].join(","), ...rows, ""].join("\r\n");
}

function drawErrors() {
  const rows = data.errors.map((row) => [row.seas, row.count, ...["mean_kn", "rms_kn", "within_95_kn", "largest_kn", "chance_kn", "own_rms_kn"].map((key) => row[key].toFixed(3).replace("-", "−"))]);
  table("errors", ["random seas", "number", "mean", "rms", "95 % within", "largest", "chance", "own rms"], rows);
  get("made").textContent = `Grid ${data.fineness}; made from inputs with the digest ${data.digest.slice(0, 16)}.`;
}

function draw() {
  const tws = number("tws"), twa = number("twa"), sea = systems(tws), outside = atlas.beyond(sea);
  get("beyond").hidden = !outside;
  // a file has no room for this reservation
  get("csv").hidden = Boolean(outside);
  if (outside) {
    const limit = outside.what === "height" ? `at ${outside.system.tp_s.toFixed(1)} s the atlas ends at ${outside.greatest_hs_m.toFixed(1)} m`
      : `its periods run from ${least(outside.tp_s)} to ${most(outside.tp_s)} s`;
    get("beyond").textContent = `The ${outside.what} of the ${describe(outside.system)} lies outside the atlas: ${limit}. What is shown is for the nearest that it holds.`;
  }
  drawWords(sea, tws, twa);
  drawPolar(sea, tws, twa);
  drawStages(sea, tws, twa);
  drawHeat(tws, twa);
  drawTable(sea, tws);
}

let asked = false;
get("controls").addEventListener("input", () => {
  if (asked) return;
  asked = true;
  requestAnimationFrame(() => { asked = false; draw(); });
});
get("look").addEventListener("input", (event) => { document.documentElement.dataset.look = event.target.value; });
get("controls").addEventListener("submit", (event) => event.preventDefault());
get("csv").addEventListener("click", (event) => { event.currentTarget.href = `data:text/csv;charset=utf-8,${encodeURIComponent(polarCsv())}`; });
get("csv").href = "data:text/csv,";
darkSystem.addEventListener("change", draw);
let screenLook = null;
addEventListener("beforeprint", () => { screenLook = document.documentElement.dataset.look; document.documentElement.dataset.look = "light"; draw(); });
addEventListener("afterprint", () => { document.documentElement.dataset.look = screenLook ?? "system"; draw(); });
drawErrors();
draw();
