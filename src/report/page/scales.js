// Classes of size and the colours of every look: numbers alone, so that they can be tested without a page.

// One ordered scale for size, eight classes; borders are fixed, so that windows, regions and results compare.
export const SCALES = {
  // share of the flat speed that is lost, in per cent
  factor: { title: "speed left", unit: "of flat", borders: [1, 2, 5, 10, 15, 20, 30], tick: (percent) => (1 - percent / 100).toFixed(2) },
  lost: { title: "knots lost", unit: "kn", borders: [0.05, 0.1, 0.25, 0.5, 1, 1.5, 2.5], tick: String },
  // sea states of WMO code table 3700
  hs: { title: "wave height", unit: "m", borders: [0.1, 0.5, 1.25, 2.5, 4, 6, 9], tick: String },
  // Beaufort 2 to 8, WMO's equivalents in knots
  wind: { title: "wind", unit: "kn", borders: [4, 7, 11, 17, 22, 28, 34], tick: String },
};

// What is below nought by more than rounding is a gain and has a colour of its own, off the ordered scale.
const GAIN = -0.005;
export const GAINS = "gain";

// The class of a value: 0 to 7, or a gain where knots or shares are below nought.
export function classOf(scale, value) {
  const { borders } = SCALES[scale];
  const gain = scale === "lost" ? GAIN : scale === "factor" ? 100 * GAIN / 2 : -Infinity;
  return value < gain ? GAINS : borders.filter((border) => value >= border).length;
}

// Light and dark: ColorBrewer's YlOrBr (Brewer 2003) from the paper to what stands out most; night: reds, with a step in
// the middle where neither black nor red letters could be read. A gain is blue, at night the bare paper.
const SIZES = {
  light: ["#fff9e3", "#fff0b8", "#fee391", "#fec44f", "#fe9929", "#ec7014", "#cc4c02", "#8c2d04"],
  dark: ["#241c15", "#3d2611", "#5d350c", "#81480b", "#ad6413", "#d48a2a", "#f1b84e", "#fee8a6"],
  night: ["#160302", "#340806", "#520d09", "#6e120c", "#e04030", "#f05545", "#ff6a58", "#ff7f70"],
};
const GAIN_COLOURS = { light: "#a8d1f0", dark: "#1f5f99", night: "#000000" };
const NIGHT_INK = "#ff7a6a";

export function sizeColour(look, kind) {
  return kind === GAINS ? GAIN_COLOURS[look] : SIZES[look][kind];
}

// Causes: colours that readers of every colour vision tell apart (Okabe & Ito 2008), at night one red with other
// patterns. The order is that of the audit's stages; a cause that is not known takes what is left.
const CAUSES = {
  added_resistance: ["#0072b2", "#3d9fe0", "plain"],
  deck_water: ["#56b4e9", "#9fdcff", "lines"],
  windage: ["#f0e442", "#f0e442", "dots"],
  foil_lift: ["#d55e00", "#f07a2a", "falling"],
  foil_downtime: ["#e69f00", "#ffc04d", "crossed"],
  surge: ["#009e73", "#19c795", "rising"],
};
const OTHERS = [["#cc79a7", "#e79cc5", "upright"], ["#8a8a8a", "#b8b8b8", "dense"], ["#444444", "#e8e8e8", "sparse"]];

export function causeLook(look, stages, stage) {
  const name = stage.replace(/^stage_/, "");
  const unknown = stages.map((other) => other.replace(/^stage_/, "")).filter((other) => !CAUSES[other]);
  const [light, dark, pattern] = CAUSES[name] ?? OTHERS[unknown.indexOf(name) % OTHERS.length];
  return { colour: look === "night" ? "#a02015" : look === "dark" ? dark : light, pattern };
}
export const KNOWN_CAUSES = Object.keys(CAUSES);

// Relative luminance and contrast of WCAG 2.2 (W3C 2023).
export function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16) / 255)
    .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
export function contrast(a, b) {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

// The letters that can be read best on a colour; at night never white.
export function inkOn(look, colour) {
  const inks = ["#000000", look === "night" ? NIGHT_INK : "#ffffff"];
  return inks[contrast(inks[0], colour) >= contrast(inks[1], colour) ? 0 : 1];
}
